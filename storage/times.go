package storage

import (
	"cmp"
	"strings"
	"time"
)

// timeForm is the one form in which times are written: RFC 3339 in UTC with
// milliseconds. Other forms of RFC 3339 that were written before are read as well.
const timeForm = "2006-01-02T15:04:05.000Z"

// WriteTime writes a time as it is kept.
func WriteTime(t time.Time) string { return t.UTC().Format(timeForm) }

// CompareTimes orders two times by when they were, whatever their forms; those of the
// same moment by their text, so that the order is the same everywhere. What is no time
// comes first.
func CompareTimes(a, b string) int {
	const second = len("2006-01-02T15:04:05")
	if len(a) > second && len(b) > second && strings.HasSuffix(a, "Z") && strings.HasSuffix(b, "Z") {
		if c := cmp.Compare(a[:second], b[:second]); c != 0 { // a list of thousands is sorted by this
			return c
		}
	}
	x, errX := time.Parse(time.RFC3339, a)
	y, errY := time.Parse(time.RFC3339, b)
	switch {
	case errX != nil && errY == nil:
		return -1
	case errX == nil && errY != nil:
		return 1
	}
	return cmp.Or(x.Compare(y), cmp.Compare(a, b))
}
