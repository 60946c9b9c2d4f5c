// Package contentrange reads and writes the header of HTTP that says which
// bytes of a whole a message carries (RFC 9110, section 14.4). Photos go to the
// yard and come from it in such pieces.
package contentrange

import (
	"fmt"
	"strconv"
	"strings"
)

// Range is a run of bytes of a whole.
type Range struct {
	First, Last int64 // both belong to it
	Size        int64 // of the whole
}

// String writes "bytes first-last/size".
func (r Range) String() string { return fmt.Sprintf("bytes %d-%d/%d", r.First, r.Last, r.Size) }

// Parse reads "bytes first-last/size". It refuses what is no run within the
// whole, and numbers of more than 48 bits.
func Parse(text string) (r Range, ok bool) {
	rest, isBytes := strings.CutPrefix(text, "bytes ")
	first, rest, dash := strings.Cut(rest, "-")
	last, size, slash := strings.Cut(rest, "/")
	if !isBytes || !dash || !slash {
		return Range{}, false
	}
	for _, part := range []struct {
		text string
		to   *int64
	}{{first, &r.First}, {last, &r.Last}, {size, &r.Size}} {
		n, err := strconv.ParseUint(part.text, 10, 48)
		if err != nil {
			return Range{}, false
		}
		*part.to = int64(n)
	}
	return r, r.First <= r.Last && r.Last < r.Size
}
