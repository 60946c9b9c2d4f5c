package soil

import (
	"math"

	"pegpour/engine/refusal"
)

// Block is a body that stands on the ground by its weight, looked at in one
// direction: from its near toe to its far toe.
type Block struct {
	Length  float64 // mm between the toes, 50 to 50 000
	Breadth float64 // mm across, 50 to 50 000
	Weight  float64 // N, 0 to 1e8, in the middle
	Loads   []BlockLoad
}

// BlockLoad is what acts on a block at a place.
type BlockLoad struct {
	At     float64 // mm from the near toe, ±100 000
	Down   float64 // N, ±1e7; below 0 it lifts
	Push   float64 // N towards the far toe, ±1e7
	Height float64 // mm of the push above the underside, 0 to 50 000
}

// BlockStands is how a block stands.
type BlockStands struct {
	Vertical   float64 // N on the ground
	Horizontal float64 // N, size of all pushes together
	// Near and Far are what holds over what turns it about either toe; at most
	// MostFactor, where next to nothing turns it.
	Near, Far    float64
	Eccentricity float64 // mm of the resultant from the middle, towards the far toe positive
	MiddleThird  bool    // the whole underside presses
	Inside       bool    // false: it tips over, and there is no pressure
	Contact      float64 // mm of the underside that presses
	Peak         float64 // MPa
}

// MostFactor is the greatest factor of safety that is told.
const MostFactor = 100

// Stands returns overturning about both toes and the pressure under the block.
//
//	FS = Σ holding moments/Σ turning moments about the toe
//	e within B/6: p = V/(B·L)·(1 + 6|e|/L);  beyond: p = 2V/(B·3a), a from the resultant to the toe
//
// Source: stability of gravity walls and dams, in any text on soil mechanics; the
// wedge within the middle third as a textbook's companion works it. Checked:
// testdata/references/soil.json, block-*.
func (b Block) Stands() (BlockStands, error) {
	if err := refusal.First(
		refusal.Allow("length of the block", b.Length, 50, 50000, "mm"),
		refusal.Allow("breadth of the block", b.Breadth, 50, 50000, "mm"),
		refusal.Allow("weight of the block", b.Weight, 0, 1e8, "N"),
	); err != nil {
		return BlockStands{}, err
	}
	s := BlockStands{Vertical: b.Weight}
	middle := b.Length / 2
	hold, turn := [2]float64{b.Weight * middle, b.Weight * middle}, [2]float64{}
	about := b.Weight * middle // the near toe
	add := func(toe int, moment float64) {
		if moment > 0 {
			hold[toe] += moment
		} else {
			turn[toe] -= moment
		}
	}
	pushed := 0.0
	for _, l := range b.Loads {
		if err := refusal.First(
			refusal.Allow("place of a load", l.At, -100000, 100000, "mm"),
			refusal.Allow("load", l.Down, -1e7, 1e7, "N"),
			refusal.Allow("push", l.Push, -1e7, 1e7, "N"),
			refusal.Allow("height of a push", l.Height, 0, 50000, "mm"),
		); err != nil {
			return BlockStands{}, err
		}
		s.Vertical += l.Down
		pushed += l.Push
		about += l.Down*l.At + l.Push*l.Height
		add(0, l.Down*l.At)
		add(1, l.Down*(b.Length-l.At))
		add(0, l.Push*l.Height)
		add(1, -l.Push*l.Height)
	}
	s.Horizontal = math.Abs(pushed)
	s.Near, s.Far = factorOf(hold[0], turn[0]), factorOf(hold[1], turn[1])
	if s.Vertical <= 0 {
		return s, nil
	}
	s.Eccentricity = about/s.Vertical - middle
	off := math.Abs(s.Eccentricity)
	s.Inside, s.MiddleThird = off < middle, off <= b.Length/6
	switch {
	case s.MiddleThird:
		s.Contact = b.Length
		s.Peak = s.Vertical / (b.Breadth * b.Length) * (1 + 6*off/b.Length)
	case s.Inside:
		s.Contact = 3 * (middle - off)
		s.Peak = 2 * s.Vertical / (b.Breadth * s.Contact)
	}
	return s, nil
}

func factorOf(hold, turn float64) float64 {
	if hold >= MostFactor*turn {
		return MostFactor
	}
	return hold / turn
}
