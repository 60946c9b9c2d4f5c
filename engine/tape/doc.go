// Package tape finds where pegs stand from taped distances between them: by
// least squares, with how well each is known, which tape is most likely wrong
// and which one is missing. It knows no gates.
//
// Lengths are mm, temperatures °C, forces N, angles rad. Plan coordinates: X
// along, Y across; the left of a line from one peg to another is the side
// towards which X turns into Y. Pure, and never panics on data.
package tape

import "strconv"

// Limits within which a tape network on one site stays. Common practice, no
// published source.
const (
	// MaxLength is the longest distance taped, mm (1 km).
	MaxLength = 1e6
	// MaxPegs keeps the normal matrix small: 40 unknowns beside the two pegs
	// that hold the frame, or more known ones.
	MaxPegs = 22
	// MaxTapes is the most distances in one network.
	MaxTapes = 400
	// MaxCoordinate is the greatest known coordinate either way, mm (100 km).
	MaxCoordinate = 1e8
)

// RangeError refuses one value: which, what was given, what is allowed.
type RangeError struct {
	Argument  string  // in the trade's words
	Index     int     // place in the list given, from 0; -1 for a single value
	Given     float64 // as given; may be NaN or infinite
	Low, High float64 // allowed, both ends included
}

// Error is the refusal in one sentence.
func (e *RangeError) Error() string {
	at := ""
	if e.Index >= 0 {
		at = " " + strconv.Itoa(e.Index+1)
	}
	return e.Argument + at + ": given " + plain(e.Given) + ", allowed " + plain(e.Low) + " to " + plain(e.High)
}

func plain(v float64) string { return strconv.FormatFloat(v, 'g', 10, 64) }

func within(argument string, index int, v, low, high float64) error {
	if v >= low && v <= high { // false for NaN
		return nil
	}
	return &RangeError{Argument: argument, Index: index, Given: v, Low: low, High: high}
}
