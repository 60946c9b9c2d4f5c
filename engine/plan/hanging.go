package plan

import (
	"pegpour/engine/text"
)

// Hanging is a leaf that hangs free of the ground, on two carriages that stand on a
// block in the run-back.
type Hanging struct {
	// Front and Rear are the chainages of the carriages, Between their distance, mm.
	Front   float64 `json:"front"`
	Rear    float64 `json:"rear"`
	Between float64 `json:"between"`
	// Counter is the beam behind the frame, Whole the frame and it together, mm.
	Counter float64 `json:"counter"`
	Whole   float64 `json:"whole"`
	// By says what decided how long the counter part is.
	By CounterBy `json:"by"`
	// Weight of the leaf, N, and its Centre from the front carriage, leaf shut,
	// positive over the opening, mm.
	Weight float64 `json:"weight"`
	Centre float64 `json:"centre"`
	// Carried is what the carriages carry along the travel, from shut to open.
	Carried []CarriedAt `json:"carried"`
	// Bears is what one carriage is made for, N; 0 where that was not given.
	Bears float64 `json:"bears,omitempty"`
	Beam  Beam    `json:"beam"`
	// Moment at the front carriage, leaf shut and its nose free, N·mm; Stress and
	// what it May be, MPa.
	Moment float64 `json:"moment"`
	Stress float64 `json:"stress"`
	May    float64 `json:"may"`
	// Over is how far the leaf hangs over, Sag how far its nose sags as the beam bends
	// before and between the carriages, Tilt what the block adds as it turns on its ground,
	// Play what the carriages add, Ramp the lift of the catch, mm. Tilts is false where
	// nothing may be presumed of the ground, and nothing stands for it then. End is what
	// stands at the nose itself, N.
	Over  float64 `json:"over"`
	End   float64 `json:"end"`
	Sag   float64 `json:"sag"`
	Tilt  float64 `json:"tilt"`
	Tilts bool    `json:"tilts"`
	Play  float64 `json:"play"`
	Ramp  float64 `json:"ramp"`
	// Clearance over the highest place of the drive, Under the beam's underside above
	// the block, mm. Level is that of the leaf's underside, BlockTop that of the
	// block, above the site's datum, or above the drive where that is level.
	Clearance float64 `json:"clearance"`
	Under     float64 `json:"under"`
	Level     float64 `json:"level"`
	BlockTop  float64 `json:"blockTop"`
	// Gaps under the shut leaf by chainage; Widest of them; Lowest is the least gap
	// over the ground behind the post, where the open leaf runs.
	Gaps   []LeafGap `json:"gaps"`
	Widest LeafGap   `json:"widest"`
	Lowest LeafGap   `json:"lowest"`
	Block  Block     `json:"block"`
	// Dig is what is dug behind the post so that the open leaf clears the ground, bank
	// measure, mm³: beside the block, above the level that leaves the least gap.
	Dig float64 `json:"dig,omitempty"`
	// Below is how far the ground beside the block stands above its top at the most,
	// mm; below 0 it lies lower everywhere.
	Below float64 `json:"below"`
	// Wind is how hard wind pushes the front and the rear carriage sideways, N: the leaf
	// shut, open, and while it is moved.
	Wind [3][2]float64 `json:"wind"`
	// Unjudged is set where carriages and beam could not be worked out.
	Unjudged bool `json:"unjudged,omitempty"`
}

// CounterBy says what decided the length of the counter part.
type CounterBy string

// What decides it.
const (
	CounterByRule  CounterBy = "rule"  // the shop's first guess, which holds or is not known to fail
	CounterByFound CounterBy = "found" // what carriages and beam may take
	CounterByGiven CounterBy = "given" // the carriages' distance, as measured
	CounterByNone  CounterBy = "none"  // no length holds: the first guess stands
)

// CarriedAt is what the carriages carry once the leaf has travelled, N upwards;
// below 0 a carriage holds the beam down.
type CarriedAt struct {
	Travelled float64 `json:"travelled"`
	Front     float64 `json:"front"`
	Rear      float64 `json:"rear"`
}

// Beam is the beam at the leaf's foot that runs through the carriages.
type Beam struct {
	Section text.Name `json:"section"`
	Height  float64   `json:"height"`  // mm
	Mass    float64   `json:"mass"`    // kg/m
	Inertia float64   `json:"inertia"` // mm⁴
	Modulus float64   `json:"modulus"` // mm³
	// ByMaker says that the numbers are the maker's, not of the shop's section.
	ByMaker bool `json:"byMaker,omitempty"`
}

// LeafGap is the gap under the leaf at a chainage, mm.
type LeafGap struct {
	Chainage float64 `json:"chainage"`
	Ground   float64 `json:"ground"` // level
	Gap      float64 `json:"gap"`
	// Extrapolated is set where nothing was measured as far out.
	Extrapolated bool `json:"extrapolated,omitempty"`
}

// Block is the concrete under the carriages as a body that stands by its weight:
// the worst of all that acts on it.
type Block struct {
	Length float64 `json:"length"` // mm, where it is shortest
	Width  float64 `json:"width"`  // mm, out from the fence
	Deep   float64 `json:"deep"`   // mm
	Weight float64 `json:"weight"` // N
	// What holds over what tips it: along the fence about the end at the drive and
	// about the far end, and across.
	AtDrive float64 `json:"atDrive"`
	AtFar   float64 `json:"atFar"`
	Across  float64 `json:"across"`
	// Pressure is the greatest under it, May what the ground may take, MPa; May is 0
	// where nothing may be presumed.
	Pressure float64 `json:"pressure"`
	May      float64 `json:"may"`
	// Slides is what holds over what pushes it along or out; 0 where that is not known.
	Slides float64 `json:"slides"`
	// Sideways is the most that wind pushes on both carriages together, N, Pushed the
	// most along.
	Sideways float64 `json:"sideways"`
	Pushed   float64 `json:"pushed"`
	// Lifted is set where the block is lifted or tips over.
	Lifted bool `json:"lifted,omitempty"`
	// Deeper is set where the depth is more than the shop's least because of it;
	// Unheld where no depth that is proposed holds.
	Deeper bool `json:"deeper,omitempty"`
	Unheld bool `json:"unheld,omitempty"`
}

// Holds is the least of what holds over what tips the block.
func (b *Block) Holds() float64 { return min(b.AtDrive, b.AtFar, b.Across) }

// Down is how far the nose hangs down before it is caught, mm.
func (h *Hanging) Down() float64 { return h.Sag + h.Tilt + h.Play }

// MostCarried is the greatest that the front and the rear carriage carry, either
// way, N.
func (h *Hanging) MostCarried() (front, rear float64) {
	for _, c := range h.Carried {
		front, rear = max(front, c.Front, -c.Front), max(rear, c.Rear, -c.Rear)
	}
	return front, rear
}

// Presses is how much the carriages carry together over the weight, at the place of
// the travel where that is most: so much harder it rolls than on wheels; 1 on a track.
func (h *Hanging) Presses() float64 {
	most := 1.0
	if h == nil {
		return most
	}
	for _, c := range h.Carried {
		if h.Weight > 0 {
			most = max(most, (max(c.Front, -c.Front)+max(c.Rear, -c.Rear))/h.Weight)
		}
	}
	return most
}

// WideGaps are the chainages from the first to the last gap that is wider than most.
func (h *Hanging) WideGaps(most float64) (from, to float64) {
	first := true
	for _, g := range h.Gaps {
		if g.Gap > most {
			if first {
				from, first = g.Chainage, false
			}
			to = g.Chainage
		}
	}
	return from, to
}

// HangsFree reports whether no track carries the leaf.
func (p *Plan) HangsFree() bool { return p.Leaf.Hanging != nil }
