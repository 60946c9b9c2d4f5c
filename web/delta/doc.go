// Package delta finds what turns one version of a program into the next, and makes the
// next of it again.
//
// A small change of the source moves nearly everything in a compiled program: numbers of
// functions and addresses of data are all over it, and each is some steps higher than
// before. So pieces of the same content are hardly found (of a WebAssembly program with
// one function added, three bytes of four had changed at their place). What is sent is,
// for each stretch that lies alike in both, where it lay and which of its bytes became
// others, as C. Percival has it in "Naive differences of executable code" (2003, memory).
// Of those, most are foreseen: a byte changes as it did where the same bytes stood around
// it before, so that each number that moved is sent about once. Measured for a function
// and a sentence added to the program of 16 MB, packed with brotli: 182 kB without
// foreseeing, 68 kB with it.
//
// A delta has four rows of numbers, each unsigned LEB128 and each row with its length in
// bytes before it, and then bytes:
//
//	stretches: zigzag(where it begins in the old program − where the last one ended),
//	           its length, how many new bytes follow it
//	alike:     how many bytes of the stretches, taken together, are as foreseen
//	other:     how many then are not; the two in turn, the last pair may stop short
//	residuals: for each of these bytes new − old − foreseen, modulo 256
//	the new bytes
//
// The residuals have their length before them too. It is meant to be packed by what
// carries it. Whoever makes the next version of it compares the digest of the whole: a
// delta says nothing of what it belongs to. web/assets/delta.js does the same as [Apply].
package delta
