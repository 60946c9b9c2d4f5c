package plan

import (
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Pair is two leaves that meet in the drive.
type Pair struct {
	// RunBack and Latch are the two sides, each a whole plan in its own frame: chainage
	// 0 is where the leaves meet, the opening ends at the side's own post, and the side
	// of the latch post is mirrored. Their paths are those of [survey.SidesOf]; what the
	// paths are in the whole survey says [survey.OnSide].
	RunBack *Plan   `json:"runBack"`
	Latch   *Plan   `json:"latch"`
	Meeting Meeting `json:"meeting"`
}

// Meeting is where two leaves meet, and what takes them there.
type Meeting struct {
	At     float64 `json:"at"`     // chainage from the latch post, mm
	Offset float64 `json:"offset"` // of the track, mm
	First  string  `json:"first"`  // the leaf that shuts first, as the survey has it
	Gap    float64 `json:"gap"`    // between the frames, mm
	Catch  float64 `json:"catch"`  // of the leaf that shuts first, past its frame, mm
	// Height of the stop above the foot of the track, mm.
	Height float64 `json:"height"`
	// Foot and Depth are of the footing under the stop; 0 where the drive carries it.
	Foot  float64 `json:"foot,omitempty"`
	Depth float64 `json:"depth,omitempty"`
	// Impacts are what the leaf of the run-back side and that of the latch side push on the
	// stop with as they meet it, Thrusts what their motors go on pushing with, N.
	Impacts [2]float64 `json:"impacts"`
	Thrusts [2]float64 `json:"thrusts"`
	// Holds is what the footing and the strip hold along the ground, N; 0 where it could
	// not be judged. Use is the harder impact over it.
	Holds float64 `json:"holds,omitempty"`
	Use   float64 `json:"use,omitempty"`
	// Wheel that rolls over the stop, N; Bearing what it presses the ground with under the
	// footing, and BearingUse the part of what may be presumed; 0 where nothing may.
	Wheel      float64 `json:"wheel"`
	Bearing    float64 `json:"bearing,omitempty"`
	BearingUse float64 `json:"bearingUse,omitempty"`
	// Cable says that a conduit joins the motors, under the drive strip or across the drive.
	Cable   bool      `json:"cable,omitempty"`
	Refused []Refusal `json:"refused,omitempty"`
}

// Hardest is the greater push on the stop, N.
func (m *Meeting) Hardest() float64 { return max(m.Impacts[0], m.Impacts[1]) }

// Side is one side of a plan: the whole of it where one leaf shuts the opening.
type Side struct {
	*Plan
	Name  text.Name // of the side; empty where there is one
	Latch bool      // the side of the latch post, mirrored
	Meets float64   // chainage of its frame's beginning in the whole plan, mm
}

// The sides in words of the place.
const (
	RunBackSide text.Name = "run-back side"
	LatchSide   text.Name = "latch side"
)

// Sides are the plans to draw one after the other where a drawing shows one leaf.
func (p *Plan) Sides() []Side {
	if p.Pair == nil {
		return []Side{{Plan: p}}
	}
	at := p.Pair.Meeting.At
	return []Side{{p.Pair.RunBack, RunBackSide, false, at}, {p.Pair.Latch, LatchSide, true, at}}
}

// At is a chainage of the side in the whole plan.
func (s *Side) At(chainage float64) float64 {
	switch {
	case s.Latch:
		return s.Meets - chainage
	case s.Name != "":
		return s.Meets + chainage
	}
	return chainage
}

// From is a chainage of the whole plan in the side's own frame.
func (s *Side) From(chainage float64) float64 {
	switch {
	case s.Latch:
		return s.Meets - chainage
	case s.Name != "":
		return chainage - s.Meets
	}
	return chainage
}

// Named is a name with the side in words of the place; as it is where there is one side.
func (s *Side) Named(name text.Name) text.Name {
	if s.Name == "" {
		return name
	}
	return text.Named("{0}, {1}", name, s.Name)
}

// Said is a sentence with the side in words of the place; as it is where there is one side.
func (s *Side) Said(t text.Text) text.Text {
	switch {
	case s.Latch:
		return text.Say("On the latch side: {0}", text.List(t))
	case s.Name != "":
		return text.Say("On the run-back side: {0}", text.List(t))
	}
	return t
}

// Path is where a field of the side's own survey stands in the whole survey.
func (s *Side) Path(path string) string { return survey.OnSide(path, s.Latch) }

// WholeGround is the ground of a site in the frame of the whole: of two leaves that meet
// both sides' together, on the one plane of their drive. It is nil where the ground is
// level, and where a cavity is dug on either side, which is told side by side only.
func (p *Plan) WholeGround() *Ground {
	if p.Pair == nil {
		return p.Ground
	}
	sides := p.Sides()
	run := sides[0].Ground
	g := &Ground{Both: sides}
	for i := range sides {
		own := sides[i].Ground
		if !own.Known() || own.Rising != nil {
			return nil
		}
		for _, q := range own.Readings {
			q.Chainage = sides[i].At(q.Chainage)
			g.Readings = append(g.Readings, q)
		}
		for _, q := range own.Profile {
			q.Chainage = sides[i].At(q.Chainage)
			g.Profile = append(g.Profile, q)
		}
	}
	g.Shape, g.Taken, g.Track = run.Shape, run.Taken, run.Track
	g.Track.Z0 -= g.Track.Grade * sides[0].Meets
	return g
}
