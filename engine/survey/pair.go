package survey

import (
	"math"

	"pegpour/engine/input"
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// Choices of Gate for how many leaves shut the opening.
const (
	LeavesOne  = "one"
	LeavesPair = "pair" // two that meet in the drive, each sliding to its own side
)

// Choices of Pair for the leaf that shuts first.
const (
	FirstRunBack = "run-back"
	FirstLatch   = "latch"
)

// Choices of Obstruction for the side on which a thing stands.
const (
	OnRunBackSide = "run-back"
	OnLatchSide   = "latch"
)

// Pair is what two leaves need that one does not. The leaf on the run-back side is
// what the rest of the survey tells of.
type Pair struct {
	// Meets is the chainage at which the leaves meet, from the latch post, mm.
	Meets Value `json:"meets,omitzero"`
	// First is the leaf that shuts first: FirstRunBack or FirstLatch.
	First string `json:"first,omitempty"`
	// Other is the side of the latch post, into which the second leaf slides. Its own
	// run-back, ground and gear stand here; height, cladding and whatever else both
	// leaves have alike do not, nor what was read once for the whole site.
	//
	// It is never written to but made anew, since copies of a survey share it; nil until
	// something of that side was answered. A survey is copied often, and most have one leaf.
	Other *OtherSide `json:"other,omitzero"`
}

// IsZero reports whether nothing at all was recorded, so that it does not appear in a document.
func (p Pair) IsZero() bool { return p.Meets.IsZero() && p.First == "" && p.Other.IsZero() }

// OtherSide is what may differ on the side of the latch post.
type OtherSide struct {
	RunBack RunBack `json:"runBack,omitzero"`
	Ground  Ground  `json:"ground,omitzero"`
	Gate    Gate    `json:"gate,omitzero"`
}

// Paired reports whether two leaves shut the opening.
func Paired(s *Survey) bool { return s.Gate.Leaves == LeavesPair }

// own is a survey that holds nothing but the other side's own answers, at the paths
// that they have on the run-back side.
func (o *OtherSide) own() *Survey {
	if o == nil {
		return &Survey{}
	}
	return &Survey{RunBack: o.RunBack, Ground: o.Ground, Gate: o.Gate}
}

// IsZero reports whether nothing at all of the side was recorded, so that it does not appear
// in a document.
func (o *OtherSide) IsZero() bool {
	own := o.own()
	for _, path := range asksOtherSide {
		f := &fixedFields[fixedFieldAt[path]]
		if f.number != nil && !f.number(own).IsZero() || f.text != nil && *f.text(own) != "" {
			return false
		}
	}
	return true
}

// atLatch is the survey as the side of the latch post sees it, before it is turned into
// a frame of its own: what both sides share, and its own answers.
func atLatch(s *Survey) *Survey {
	side, o := *s, s.Pair.Other.own()
	side.RunBack, side.Ground, side.Gate = o.RunBack, o.Ground, s.Gate
	side.RunBack.Obstructions = s.RunBack.Obstructions
	side.Ground.Frost = s.Ground.Frost
	read, own := s.Ground.Levels, &o.Ground.Levels
	read.BankStep, read.BankAlong, read.FallStep, read.FallAlong = own.BankStep, own.BankAlong, own.FallStep, own.FallAlong
	read.SlabStep, read.SlabAlong = own.SlabStep, own.SlabAlong
	side.Ground.Levels = read
	g := &side.Gate
	g.Motor, g.Cables, g.Outlet, g.Guide = o.Gate.Motor, o.Gate.Cables, o.Gate.Outlet, o.Gate.Guide
	g.HardStop, g.OpenCatch, g.FootingBar, g.PadOn = o.Gate.HardStop, o.Gate.OpenCatch, o.Gate.FootingBar, o.Gate.PadOn
	return &side
}

// Sides are the two sides of a pair as surveys of their own, each in its own frame:
// chainage 0 is where the leaves meet, the opening ends at the side's own post, and the
// side of the latch post is mirrored, so that its leaf too runs to growing chainages.
type Sides struct {
	RunBack, Latch Survey
	Opening, Meets float64 // of the whole, mm
	MeetsKnown     bool
	Refused        input.Refusals
}

// farSide is as far as the drive is followed beyond the place where the leaves meet, mm:
// what lies farther off shapes nothing on this side.
const farSide = 9000

// SidesOf parts the survey of a pair. A meeting place that leaves a side too narrow for
// a leaf is refused, and the leaves then meet in the middle.
func SidesOf(s *Survey, p *practice.Practice) *Sides {
	sides := new(Sides)
	r := NewReader(s, p)
	least := p.PairLeast
	sides.Opening, _ = r.Number(OpeningWidth)
	width := s.Opening.Width
	if len(r.Refused()) > 0 {
		width = Value{}
	} else if f := FieldOf(OpeningWidth); sides.Opening < 2*least {
		r.Refuse(input.FieldError{Path: f.Path, Name: f.Name, Dimension: f.Dimension, Given: sides.Opening, Low: 2 * least,
			High: f.High, Reason: input.OutOfRange, Detail: text.Say("two leaves share it")})
		width, sides.Opening = Value{}, max(2*least, 4000)
	}
	sides.Meets, sides.MeetsKnown = sides.Opening/2, false
	f := FieldOf(PairMeets)
	if at, known := r.Number(PairMeets); known && s.Pair.Meets.Known() {
		if at < least || at > sides.Opening-least {
			r.Refuse(input.FieldError{Path: f.Path, Name: f.Name, Dimension: f.Dimension, Given: at, Low: least,
				High: sides.Opening - least, Reason: input.OutOfRange,
				Detail: text.Say("the leaves meet inside the opening, far enough from either post")})
		} else if r.Refused().At(PairMeets) == nil {
			sides.Meets, sides.MeetsKnown = at, true
		}
	}
	r.Words(PairFirst)
	sides.Refused = r.Refused()
	long, short := sides.Opening-sides.Meets, sides.Meets
	sides.RunBack, sides.Latch = *s, *atLatch(s)
	latchEdge := mirroredEdge(s.Drive.LatchEdge)
	shape(&sides.RunBack, &sides.Latch)
	oneSide(&sides.RunBack, p, width, long, sides.Opening, s.Drive.RunBackEdge, latchEdge, OnRunBackSide)
	oneSide(&sides.Latch, p, width, short, sides.Opening, latchEdge, s.Drive.RunBackEdge, OnLatchSide)
	carry(&sides.RunBack, func(x float64) float64 { return x - short })
	carry(&sides.Latch, func(x float64) float64 { return short - x })
	if s.Stands != nil {
		sides.RunBack.Stands, sides.Latch.Stands = s.Stands.Sides[0], s.Stands.Sides[1]
	}
	latch := &sides.Latch
	latch.Site = Site{}
	latch.Opening.PostRunBack = s.Opening.PostLatch
	latch.Opening.Hand = HandLeft
	if s.Opening.Hand == HandLeft {
		latch.Opening.Hand = HandRight
	}
	if along := &latch.Ground.Levels.Along; along.Known() {
		*along = moved(*along, -along.Size)
	}
	return sides
}

// shape has both sides lie on one plane: where one of them is not level, the drive has
// levels, and the other goes on with it.
func shape(a, b *Survey) {
	for range 2 {
		if uneven(a) && !uneven(b) {
			b.Ground.Shape = GroundSlopes
		}
		a, b = b, a
	}
}

func uneven(s *Survey) bool { return s.Ground.Shape != "" && s.Ground.Shape != GroundLevel }

// oneSide gives a side its opening, its own edge, the far one as it looks from here, and
// the things in its way.
func oneSide(side *Survey, p *practice.Practice, width Value, opening, whole float64, own, far Edge, on string) {
	side.Meets = opening
	side.Opening.Width, side.Opening.PostLatch = Value{}, Value{}
	if width.Known() {
		side.Opening.Width = moved(width, opening)
	}
	side.Gate.Leaves, side.Gate.LatchStop = "", ""
	side.Pair, side.Network, side.Build, side.Quote, side.Stands = Pair{}, Network{}, Build{}, Quote{}, nil
	beyond := min(whole-opening, farSide)
	far = mirroredEdge(far)
	far.Along = moved(far.Along, max(far.Along.Size-beyond, -farthestEdge))
	if !far.Along.Known() {
		far.Along.How = ByEstimate // it is asked as the other side's own
	}
	for i := range far.Points {
		if q := &far.Points[i]; q.Along.Known() {
			q.Along = moved(q.Along, q.Along.Size-beyond)
		}
	}
	own.Points = append([]EdgePoint(nil), own.Points...)
	side.Drive.RunBackEdge, side.Drive.LatchEdge = own, far
	side.RunBack.Obstructions = inTheWay(side.RunBack.Obstructions, p, whole, on)
}

// farthestEdge is the least that an edge's place may be, mm.
const farthestEdge = 12000

// mirroredEdge is an edge as it looks from the other side. What was not measured stays so.
func mirroredEdge(e Edge) Edge {
	flip := func(v Value) Value {
		if !v.Known() {
			return v
		}
		return moved(v, 0-v.Size)
	}
	e.Along = flip(e.Along)
	if e.Angle.Known() {
		e.Angle = moved(e.Angle, math.Pi-e.Angle.Size)
	}
	points := e.Points
	e.Points = nil
	for _, q := range points {
		e.Points = append(e.Points, EdgePoint{Along: flip(q.Along), Offset: q.Offset})
	}
	return e
}

// moved is a reading told in another frame.
func moved(v Value, size float64) Value {
	v.Size, v.Text = size, ""
	return v
}

// carry tells the readings of levels in a side's frame.
func carry(side *Survey, to func(float64) float64) {
	levels := &side.Ground.Levels
	levels.Drops = append([]StringDrop(nil), levels.Drops...)
	for i := range levels.Drops {
		if v := &levels.Drops[i].Along; v.Known() {
			*v = moved(*v, to(v.Size))
		}
	}
	levels.Book = append([]BookRow(nil), levels.Book...)
	for i := range levels.Book {
		if v := &levels.Book[i].Along; v.Known() {
			*v = moved(*v, to(v.Size))
		}
	}
}

// inTheWay are the things that stand on a side, at their own places in the list: one of
// the other side stays blank, unless it reaches into the opening.
func inTheWay(all []Obstruction, p *practice.Practice, opening float64, on string) []Obstruction {
	var mine []Obstruction
	for i, o := range all {
		if latch := o.Side == OnLatchSide; latch != (on == OnLatchSide) {
			along, long := o.Along.Size, o.Length.Size
			if !o.Length.Known() {
				long = p.ObstructionSize
			}
			if along >= 0 || !o.Along.Known() {
				continue
			}
			o.Along = moved(o.Along, -opening-along-long)
		}
		o.Side = ""
		for len(mine) < i {
			mine = append(mine, Obstruction{})
		}
		mine = append(mine, o)
	}
	return mine
}
