// Package tape finds where pegs stand from taped distances between them: by
// least squares, with how well each is known, which tape is most likely wrong
// and which one is missing. It knows no gates.
//
// Lengths are mm, temperatures °C, forces N, angles rad. Plan coordinates: X
// along, Y across; the left of a line from one peg to another is the side
// towards which X turns into Y. Pure, and never panics on data.
package tape

import "pegpour/engine/refusal"

// Limits within which a tape network on one site stays. Common practice, no
// published source.
const (
	// MaxLength is the longest distance taped, mm (1 km).
	MaxLength = 1e6
	// MaxPegs keeps the normal matrix small: 80 unknowns beside the two pegs
	// that hold the frame, or more known ones.
	MaxPegs = 42
	// MaxTapes is the most distances in one network.
	MaxTapes = 400
	// MaxCoordinate is the greatest known coordinate either way, mm (100 km).
	MaxCoordinate = 1e8
)

// RangeError refuses one value: which, what was given, what is allowed.
type RangeError = refusal.ListedError

// within refuses v when it is not a number from low to high.
func within(argument string, index int, v, low, high float64) error {
	return refusal.Within(argument, index, v, low, high)
}
