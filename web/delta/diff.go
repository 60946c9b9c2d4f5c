package delta

import (
	"encoding/binary"
	"math/bits"
)

const (
	window  = 8       // bytes that two places have in common before they are compared
	tries   = 24      // places compared at most for one
	gain    = 12      // bytes that another stretch has to hold better before it is begun
	maxSize = 1 << 28 // of a program
)

// index finds places in a program by the bytes that stand there.
type index struct {
	of          []byte
	first, next []int32
	shift       int
}

func newIndex(of []byte) *index {
	size := min(max(bits.Len(uint(len(of))), 8), 22)
	x := &index{of: of, first: make([]int32, 1<<size), next: make([]int32, len(of)), shift: 64 - size}
	for i := len(of) - window; i >= 0; i-- {
		h := x.hash(of[i:])
		x.next[i], x.first[h] = x.first[h], int32(i+1)
	}
	return x
}

func (x *index) hash(b []byte) uint64 {
	return binary.LittleEndian.Uint64(b) * 0x9E3779B97F4A7C15 >> x.shift
}

// longest returns the place in the program that begins with most of what b begins with.
func (x *index) longest(b []byte) (at, length int) {
	if len(b) < window {
		return 0, 0
	}
	n := 0
	for i := x.first[x.hash(b)]; i != 0 && n < tries; i, n = x.next[i-1], n+1 {
		if l := alike(x.of[i-1:], b); l > length {
			at, length = int(i-1), l
		}
	}
	return at, length
}

func alike(a, b []byte) int {
	n := min(len(a), len(b))
	for i := range n {
		if a[i] != b[i] {
			return i
		}
	}
	return n
}

// Diff returns what turns the old program into the new one. For programs of 16 MB it
// takes some seconds and 120 MB. It returns nil for programs beyond a quarter of a
// gigabyte.
func Diff(old, next []byte) []byte {
	if len(old) > maxSize || len(next) > maxSize {
		return nil
	}
	x := newIndex(old)
	w := writer{foresight: newForesight()}
	// The stretch in hand lies at from in the new program and at at in the old one.
	from, at := 0, 0
	for i := 0; i < len(next); {
		there, length := x.longest(next[i:])
		// What the stretch in hand holds of it already counts against another.
		held := 0
		for j := range length {
			if k := at + i - from + j; k >= 0 && k < len(old) && old[k] == next[i+j] {
				held++
			}
		}
		switch {
		case length == 0:
			i++
		case length-held < gain || there == at+i-from:
			i += max(length, 1)
		default:
			from, at = w.stretch(old, next, from, at, i, there)
			i += length
		}
	}
	w.stretch(old, next, from, at, len(next), len(old))
	return w.bytes()
}

// writer collects a delta.
type writer struct {
	stretches, alike, other, residuals, fresh []byte

	last          int // where the last stretch ended in the old program
	foresight     *foresight
	same, unalike uint64 // bytes in hand
}

// stretch writes the stretch in hand, as far as it holds, with the new bytes up to the
// next one, which holds at i of the new program and at there of the old one, and begins
// where it first does. It returns where that is.
func (w *writer) stretch(old, next []byte, from, at, i, there int) (int, int) {
	ahead := bestPrefix(next[from:i], old[at:])
	back := 0
	if i < len(next) {
		back = bestSuffix(next[from:i], old[:there])
	}
	if both := ahead + back - (i - from); both > 0 {
		// Where the two meet, each byte goes to the one that holds it.
		best, score, s := 0, 0, 0
		for k := range both {
			if p := ahead - both + k; next[from+p] == old[at+p] {
				s++
			}
			if p := i - back + k; next[p] == old[there-back+k] {
				s--
			}
			if s > score {
				best, score = k+1, s
			}
		}
		ahead += best - both
		back -= best
	}
	fresh := next[from+ahead : i-back]
	for _, n := range []uint64{zigzag(at - w.last), uint64(ahead), uint64(len(fresh))} {
		w.stretches = binary.AppendUvarint(w.stretches, n)
	}
	w.changes(old, next[from:from+ahead], at)
	w.fresh = append(w.fresh, fresh...)
	w.last = at + ahead
	return i - back, there - back
}

// bestPrefix is how long a and b lie alike from their beginning: to where the bytes that
// agree outweigh those that do not by most.
func bestPrefix(a, b []byte) (best int) {
	score, most := 0, 0
	for k := range min(len(a), len(b)) {
		if a[k] == b[k] {
			score++
		} else {
			score--
		}
		if score > most {
			most, best = score, k+1
		}
	}
	return best
}

// bestSuffix is the same from their ends.
func bestSuffix(a, b []byte) (best int) {
	score, most := 0, 0
	for k := 1; k <= min(len(a), len(b)); k++ {
		if a[len(a)-k] == b[len(b)-k] {
			score++
		} else {
			score--
		}
		if score > most {
			most, best = score, k
		}
	}
	return best
}

// changes writes how the bytes of the old program from a place on became those of a part
// of the next one.
func (w *writer) changes(old, part []byte, at int) {
	for i, b := range part {
		foreseen := w.foresight.of(old, at+i)
		change := b - old[at+i]
		w.foresight.tell(change)
		if change == foreseen {
			w.flush()
			w.same++
			continue
		}
		w.unalike++
		w.residuals = append(w.residuals, change-foreseen)
	}
}

// flush writes the bytes in hand, if the last of them were not as foreseen.
func (w *writer) flush() {
	if w.unalike > 0 {
		w.alike = binary.AppendUvarint(w.alike, w.same)
		w.other = binary.AppendUvarint(w.other, w.unalike)
		w.same, w.unalike = 0, 0
	}
}

func (w *writer) bytes() []byte {
	w.flush()
	var out []byte
	for _, row := range [][]byte{w.stretches, w.alike, w.other, w.residuals} {
		out = append(binary.AppendUvarint(out, uint64(len(row))), row...)
	}
	return append(out, w.fresh...)
}

func zigzag(n int) uint64 { return uint64(n)<<1 ^ uint64(n>>63) }
