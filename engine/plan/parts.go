package plan

import (
	"iter"
	"strconv"

	"pegpour/engine/geom"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// PartKind says what an outline is.
type PartKind string

// The parts of every design: what is poured, what stands on it, and the leaf at
// both ends of its travel.
const (
	PartDriveStrip   PartKind = "drive strip"
	PartLatchStrip   PartKind = "latch strip"
	PartRunBackStrip PartKind = "run-back strip"
	PartPad          PartKind = "motor pad"
	PartPostHole     PartKind = "post hole"
	PartGuidePost    PartKind = "guide post"
	PartBasePlate    PartKind = "base plate"
	PartMotor        PartKind = "motor"
	PartOutletPost   PartKind = "outlet post"
	PartHardStop     PartKind = "hard stop"
	PartLeafShut     PartKind = "leaf shut"
	PartLeafOpen     PartKind = "leaf open"
)

// The parts of a steel footing.
const (
	PartFootingBar  PartKind = "footing bar"
	PartFootingPost PartKind = "footing post"
	PartFootingHole PartKind = "footing hole"
	PartPadPlate    PartKind = "pad plate"
)

// The parts of a leaf that hangs free; the block under its carriages is its PartPad.
const (
	PartCarriage PartKind = "carriage"
	PartCounter  PartKind = "counter part"
)

// The parts of a site that rises.
const (
	PartCavity PartKind = "cavity"
	PartWall   PartKind = "retaining wall"
)

// What stands and is poured where two leaves meet.
const (
	PartMeetingStop    PartKind = "meeting stop"
	PartMeetingFooting PartKind = "meeting footing"
)

// partIdentities are the words by which checks, pegs, drawings and documents
// cite the part of a kind. Where counted is set the first part bears its number
// as well; of the other kinds it bears none.
var partIdentities = map[PartKind]struct {
	word    string
	counted bool
}{
	PartDriveStrip:   {word: "driveStrip"},
	PartLatchStrip:   {word: "latchStrip"},
	PartRunBackStrip: {word: "strip"},
	PartPad:          {word: "pad"},
	PartPostHole:     {word: "hole"},
	PartGuidePost:    {word: "guide"},
	PartBasePlate:    {word: "plate"},
	PartMotor:        {word: "motor"},
	PartOutletPost:   {word: "outlet"},
	PartHardStop:     {word: "stop"},
	PartLeafShut:     {word: "leafShut"},
	PartLeafOpen:     {word: "leafOpen"},
	PartFootingBar:   {word: "footing.bar", counted: true},
	PartFootingPost:  {word: "footing.post", counted: true},
	PartFootingHole:  {word: "footing.hole", counted: true},
	PartPadPlate:     {word: "padPlate"},
	PartCarriage:     {word: "carriage", counted: true},
	PartCounter:      {word: "counter"},
	PartCavity:       {word: "cavity"},
	PartWall:         {word: "wall"},

	PartMeetingStop:    {word: "meetingStop"},
	PartMeetingFooting: {word: "meetingFooting"},
}

// ID is the identity of a part by its number among the parts of its kind, from
// 1. It panics for a kind that is not declared.
func (k PartKind) ID(number int) string {
	identity, declared := partIdentities[k]
	switch {
	case !declared:
		panic("plan: no part is a " + string(k))
	case number == 1 && !identity.counted:
		return identity.word
	}
	return identity.word + "." + strconv.Itoa(number)
}

// PartIDs are the identities of the first part of each kind.
func PartIDs(kinds ...PartKind) []string {
	all := make([]string, len(kinds))
	for i, kind := range kinds {
		all[i] = kind.ID(1)
	}
	return all
}

// Outline is one part in plan, or one piece of a part that is in several.
type Outline struct {
	// ID is the part's identity, with the piece's number behind it.
	ID   string   `json:"id"`
	Kind PartKind `json:"kind"`
	// Number of the part among those of its kind, from 1: the panel, the post,
	// the track.
	Number int `json:"-"`
	// Piece is 0 for a part in one piece, else the number of the piece, from 1.
	Piece int `json:"-"`
	// Latch marks a part of the side of the latch post, where two leaves meet.
	Latch bool         `json:"latch,omitempty"`
	Name  text.Name    `json:"name"`
	Ring  geom.Polygon `json:"ring"`
	// Concrete marks a part that is poured.
	Concrete bool `json:"concrete,omitempty"`
	// Depth from the finished surface to the bottom, mm; 0 for what stands on top.
	// How deep the part itself is, Deep tells.
	Depth float64 `json:"depth,omitempty"`
	// Top is how far the top of the concrete lies below the finished surface, mm;
	// negative where it stands above.
	Top float64 `json:"top,omitempty"`
	// Crown is the rise in the middle above the edges, mm.
	Crown float64 `json:"crown,omitempty"`
	// Mesh and Tint mark reinforcement and colour.
	Mesh bool `json:"mesh,omitempty"`
	Tint bool `json:"tint,omitempty"`
	// Area of the outline, mm², before what it shares with others is taken off.
	Area float64 `json:"area"`
}

// Deep is how deep a part is from its own top to its bottom, mm: the one depth that
// drawings, tables, figures and checks tell of it.
func (o *Outline) Deep() float64 { return o.Depth - o.Top }

// Part returns the part of a kind and number that is in one piece.
func (p *Plan) Part(kind PartKind, number int) (Outline, bool) {
	return p.Piece(kind, number, 0)
}

// Piece returns one piece of a part that is in several; piece 0 is a part in one.
func (p *Plan) Piece(kind PartKind, number, piece int) (Outline, bool) {
	for i := range p.Outlines {
		if o := &p.Outlines[i]; o.Kind == kind && o.Number == number && o.Piece == piece {
			return *o, true
		}
	}
	return Outline{}, false
}

// Parts goes over the outlines of a kind: all parts, each in all its pieces.
func (p *Plan) Parts(kind PartKind) iter.Seq[*Outline] {
	return func(yield func(*Outline) bool) {
		for i := range p.Outlines {
			if p.Outlines[i].Kind == kind && !yield(&p.Outlines[i]) {
				return
			}
		}
	}
}

// Has reports whether there is a part of a kind, in one piece or in several.
func (p *Plan) Has(kind PartKind) bool {
	for range p.Parts(kind) {
		return true
	}
	return false
}

// Extent is how far the parts of a kind reach, in all their pieces; false where
// there is none.
func (p *Plan) Extent(kind PartKind) (low, high geom.Point, ok bool) {
	for o := range p.Parts(kind) {
		a, b := o.Ring.Bounds()
		if !ok {
			low, high, ok = a, b, true
		}
		low.X, low.Y = min(low.X, a.X), min(low.Y, a.Y)
		high.X, high.Y = max(high.X, b.X), max(high.Y, b.Y)
	}
	return low, high, ok
}

// Deepest is the deepest piece of the parts of a kind, nil where there is none.
func (p *Plan) Deepest(kind PartKind) *Outline {
	var deepest *Outline
	for o := range p.Parts(kind) {
		if deepest == nil || o.Deep() > deepest.Deep() {
			deepest = o
		}
	}
	return deepest
}

// Strip is the deepest piece of the strip beside the drive, in the run-back or else
// before the drive; nil where there is neither.
func (p *Plan) Strip() *Outline {
	if o := p.Deepest(PartRunBackStrip); o != nil {
		return o
	}
	return p.Deepest(PartLatchStrip)
}

// Pieces are the identities of outlines for those of parts: where a part is in
// several pieces, all of them stand in its place.
func (p *Plan) Pieces(parts []string) []string {
	var all []string
	for i, id := range parts {
		split := false
		for k := range p.Outlines {
			o := &p.Outlines[k]
			if o.Piece == 0 || o.Kind.ID(o.Number) != id {
				continue
			}
			if all == nil {
				all = append(make([]string, 0, len(parts)+2), parts[:i]...)
			}
			split = true
			all = append(all, o.ID)
		}
		if all != nil && !split {
			all = append(all, id)
		}
	}
	if all == nil {
		return parts
	}
	return all
}

// Outline returns the outline of an identity, as checks, pegs and drawings cite
// it.
func (p *Plan) Outline(id string) (Outline, bool) {
	for i := range p.Outlines {
		if p.Outlines[i].ID == id {
			return p.Outlines[i], true
		}
	}
	return Outline{}, false
}

// NameOfObstruction is the name given on site to what stands there, or else the
// words of its kind.
func NameOfObstruction(o *ObstructionBox) text.Name {
	if o.Name != "" {
		return text.TypedName(o.Name)
	}
	f := survey.FieldOf(survey.ObstructionKind.At(o.Index))
	for _, option := range f.Options {
		if option.Value == o.Kind {
			return text.Name(option.Words)
		}
	}
	return text.Name(f.Options[0].Words)
}
