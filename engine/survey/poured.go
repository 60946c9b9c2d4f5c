package survey

// Poured is what was poured, as it was measured.
type Poured struct {
	// SetUp is where the level stood for Levels and PadDown.
	SetUp SetUp `json:"setUp,omitzero"`
	// Levels are of the concrete under the track, by chainage.
	Levels []PouredLevel `json:"levels,omitempty"`
	// Opening between the inner faces of the posts, mm.
	Opening Value `json:"opening,omitzero"`
	// GuideAlong is the near face of the guide post from the latch post, GuideOut its
	// front face from the back of the fence, mm.
	GuideAlong Value `json:"guideAlong,omitzero"`
	GuideOut   Value `json:"guideOut,omitzero"`
	// MotorAlong is the middle of the motor's bolts from the latch post: the pinion, mm.
	MotorAlong Value `json:"motorAlong,omitzero"`
	// PadDown is how far the pad lies below the sight, mm.
	PadDown Value `json:"padDown,omitzero"`
	// Room is the run-back as it is, from the inner face of the run-back post, mm.
	Room Value `json:"room,omitzero"`
	// Meets is where the stop in the drive stands, from the latch post, mm; Other is what
	// stands on the side of the latch post. Both are of two leaves that meet.
	Meets Value       `json:"meets,omitzero"`
	Other PouredOther `json:"other,omitzero"`
	// Laid says how the track is laid: a Laid constant.
	Laid string `json:"laid,omitempty"`
}

// PouredOther is what stands on the side of the latch post: as of [Poured], but counted
// from the run-back post across the opening, as that side looks from its own.
type PouredOther struct {
	GuideAlong Value `json:"guideAlong,omitzero"`
	GuideOut   Value `json:"guideOut,omitzero"`
	MotorAlong Value `json:"motorAlong,omitzero"`
	PadDown    Value `json:"padDown,omitzero"`
	Room       Value `json:"room,omitzero"` // from the inner face of the latch post, mm
}

// IsZero reports whether nothing at all was recorded, so that it does not appear in a document.
func (o PouredOther) IsZero() bool {
	return o.GuideAlong.IsZero() && o.GuideOut.IsZero() && o.MotorAlong.IsZero() && o.PadDown.IsZero() && o.Room.IsZero()
}

// PouredLevel is how far the concrete under the track lies below the sight.
type PouredLevel struct {
	Along Value `json:"along,omitzero"` // chainage, mm
	Down  Value `json:"down,omitzero"`  // mm; minus where it stands above
}

// Ways of laying a track on what was poured.
const (
	LaidPacked  = "packed"  // nothing is ground off
	LaidLeast   = "least"   // ground too: the least material
	LaidSquares = "squares" // ground too: the least squares
)

// MaxPouredLevels is the most levels along the strip as poured.
const MaxPouredLevels = 60

// Used reports whether anything was measured of what was poured.
func (p *Poured) Used() bool {
	return len(p.Levels) > 0 || p.Opening.Known() || p.GuideAlong.Known() || p.GuideOut.Known() || p.MotorAlong.Known() ||
		p.PadDown.Known() || p.Room.Known() || p.Meets.Known() || p.Other.used()
}

func (o *PouredOther) used() bool {
	return o.GuideAlong.Known() || o.GuideOut.Known() || o.MotorAlong.Known() || o.PadDown.Known() || o.Room.Known()
}

func (p Poured) clone() Poured {
	p.Levels = append([]PouredLevel(nil), p.Levels...)
	return p
}

// Stands is what stands on site in place of what would be set there and fitted to
// the ground. A survey has it only where it was made from another one and from what
// was poured; it is never stored. Nil or not known: as designed.
type Stands struct {
	// Track is the straight line on which the track lies: its level at chainage 0
	// above the survey's datum, mm, and its grade towards the run-back.
	Track *TrackLaid
	// GuideAlong, GuideOut and Pinion are places as of [Poured].
	GuideAlong, GuideOut, Pinion Value
	// Sides are those of two leaves that meet, each in its own frame, in place of the rest.
	Sides [2]*Stands
}

// TrackLaid is a straight line along the fence, found from Read levels.
type TrackLaid struct {
	Z0, Grade float64
	Read      int
}

func (s *Stands) clone() *Stands {
	if s == nil {
		return nil
	}
	own := *s
	if s.Track != nil {
		track := *s.Track
		own.Track = &track
	}
	own.Sides = [2]*Stands{s.Sides[0].clone(), s.Sides[1].clone()}
	return &own
}
