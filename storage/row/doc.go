// Package row cuts a content into numbered pictures of equal size and makes it again from
// any that suffice, in any order: what two phones pass on that see nothing of each other
// but the screen. A picture here is its bytes; how they are drawn is not its business.
//
// # The code is a random linear fountain
//
// The content is cut into K blocks. The first K pictures are the blocks themselves; each
// later one is the sum, bit by bit without carry, of about half of them, chosen by a
// generator that starts at the picture's number. K pictures whose choices are linearly
// independent give the blocks back by elimination. With E pictures more than K the chance
// that they do not suffice is at most 2^-E, whatever was lost (D. J. C. MacKay, Information
// Theory, Inference, and Learning Algorithms, 2003, section 50.1: recalled; the tests
// measure it). Sparse codes need a few per cent more pictures and save arithmetic, which
// is not what is short: at 2000 blocks a picture costs a millisecond and a half. It would
// change if contents of many megabytes went this way.
//
// # Every picture says all
//
// A picture names the content by its SHA-256, with its size and its number of blocks, so
// that one may begin with any of them and pictures of two contents are never mixed. The
// content is handed out only where the digest holds.
package row
