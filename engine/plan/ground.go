package plan

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Ground is how the ground lies, and what has to be built because it is not
// level. All levels are above the survey's own datum, mm. A nil Ground is
// level ground: its methods answer 0.
type Ground struct {
	Shape string `json:"shape"`
	Taken string `json:"taken"`
	// Readings are the points from which the ground was found.
	Readings []GroundReading `json:"readings,omitempty"`
	Booking  *Booking        `json:"booking,omitempty"`
	Track    TrackGrade      `json:"track"`
	// Profile is the ground along the track line by chainage, and the strip on it.
	Profile []ProfilePoint `json:"profile,omitempty"`
	// Packing says where the drive is packed up (+) or ground off (−) to meet
	// the track's grade.
	Packing []Packing `json:"packing,omitempty"`
	Slab    *SlabStep `json:"slab,omitempty"`
	Pad     *PadLevel `json:"pad,omitempty"`
	Rising  *Rising   `json:"rising,omitempty"`
	// Cut is what is dug above the strip's own grade, bank measure, mm³: the
	// footing's own dig below that grade is not in it.
	Cut float64 `json:"cut,omitempty"`
	// Bedding is what is dug for the bedding under the concrete, mm³.
	Bedding float64 `json:"bedding,omitempty"`

	// Model is the ground as a surface; nil while there is no level to count
	// from, and before a design is finished.
	Model *GroundModel `json:"-"`
	// Both are the sides of two leaves that meet, whose own grounds stand in place of Model
	// and Pad then.
	Both []Side `json:"-"`
	// Choices are those that go with the ground.
	Choices GroundChoices `json:"-"`
	// InLine is how many levels of the drive lie in one line, so that they
	// cannot say how it falls square to that line; 0 where they can.
	InLine int `json:"-"`
	// Untold is what the levels of the drive say of its slopes where that is too
	// little to go by.
	Untold UntoldSlopes `json:"-"`
}

// UntoldSlopes are standard uncertainties of slopes that readings give, but so
// badly that they are not taken from them; 0 where they are, or where the
// readings give nothing.
type UntoldSlopes struct {
	Grade, CrossFall float64
	// Farther is how far apart, or from the line of the others, one more reading
	// must lie to tell, mm.
	Farther float64
}

// GroundChoices are the choices that go with ground that is not level.
type GroundChoices struct {
	Slab    bool   // there is a slab in the run-back already
	Channel bool   // a channel is laid around the pad
	Drained bool   // a drain runs behind the wall
	Posts   bool   // the wall is of sleepers between posts
	Load    string // what bears on the ground behind the wall, a choice of the survey
}

// Known reports whether there is a level to count from.
func (g *Ground) Known() bool {
	return g != nil && (g.Taken == survey.LevelsBySlopes || g.Track.Fitted > 0)
}

// HasBank reports whether anything was read beside the drive.
func (g *Ground) HasBank() bool { return g != nil && g.Model.HasBank() }

// GroundReading is one level on the ground.
type GroundReading struct {
	Path     string    `json:"path"` // of the reading in the survey
	Name     text.Name `json:"name"`
	Chainage float64   `json:"chainage"`
	Offset   float64   `json:"offset"`
	Level    float64   `json:"level"`
	Sigma    float64   `json:"sigma"`
	// OnDrive says that it lies between the driveway's edges, OnTrack that it
	// was also taken on the track line, OnSlab that it is of the slab.
	OnDrive bool `json:"onDrive,omitempty"`
	OnTrack bool `json:"onTrack,omitempty"`
	OnSlab  bool `json:"onSlab,omitempty"`
	// Above is how far it stands above the track's grade carried to its place.
	Above float64 `json:"above"`
	// Suspect is set when it fits the others badly: read it again.
	Suspect bool `json:"suspect,omitempty"`
	// Checked is set when another reading would show an error in it.
	Checked bool `json:"checked,omitempty"`
}

// TrackGrade is the one straight grade of the track. The level of the finished
// surface at chainage x and offset y is
//
//	z = Z0 + Grade·x + CrossFall·(y − Offset)
type TrackGrade struct {
	// Z0 is the level at chainage 0 on the track line, mm.
	Z0 float64 `json:"z0"`
	// Grade along the fence, rise over run: positive climbs towards the run-back.
	Grade float64 `json:"grade"`
	// CrossFall from the fence inwards, rise over run: positive climbs into the
	// property.
	CrossFall float64 `json:"crossFall"`
	// Offset of the track line, mm.
	Offset float64 `json:"offset"`
	// SigmaGrade and SigmaCrossFall are the standard uncertainties of the two;
	// of one that is not known, that of a slope that was not measured. 0 when
	// there is no level at all.
	SigmaGrade     float64 `json:"sigmaGrade,omitempty"`
	SigmaCrossFall float64 `json:"sigmaCrossFall,omitempty"`
	// Fitted counts the readings; GradeKnown and CrossFallKnown say what they
	// could give; what is not known is 0.
	Fitted         int  `json:"fitted"`
	GradeKnown     bool `json:"gradeKnown"`
	CrossFallKnown bool `json:"crossFallKnown"`
	// OffLine is set when there were too few readings on the track line itself
	// and the whole drive was used.
	OffLine bool `json:"offLine,omitempty"`
}

// At is the level of the finished surface that goes with the track, mm.
func (t TrackGrade) At(x, y float64) float64 {
	return t.Z0 + t.Grade*x + t.CrossFall*(y-t.Offset)
}

// ProfilePoint is one place along the track line.
type ProfilePoint struct {
	Chainage float64 `json:"chainage"`
	Level    float64 `json:"level"` // of the ground as it is
	// Extrapolated is set where nothing was measured as far out.
	Extrapolated bool `json:"extrapolated,omitempty"`
	// Strip is the level of the top of the strip, the track's grade.
	Strip float64   `json:"strip"`
	Name  text.Name `json:"name,omitempty"` // of the reading or the place
}

// Packing is one place of the drive against the track's grade.
type Packing struct {
	Chainage float64 `json:"chainage"`
	// Height is how much is packed (+) or ground off (−), mm.
	Height    float64   `json:"height"`
	Treatment string    `json:"treatment"` // "pack", "grind", "within tolerance"
	Name      text.Name `json:"name,omitempty"`
}

// SlabStep is how a slab that is there already stands to the track's grade.
type SlabStep struct {
	// AtEdge and AtEnd are how far it stands above the grade, mm; Greatest is
	// the one of its readings farthest from it, at chainage At.
	AtEdge   float64 `json:"atEdge"`
	AtEnd    float64 `json:"atEnd"`
	Greatest float64 `json:"greatest"`
	At       float64 `json:"at"`
	// Fits is set when it lies within tolerance.
	Fits bool `json:"fits"`
}

// Booking is the level book, reduced both ways and closed.
type Booking struct {
	Rows []BookingRow `json:"rows"`
	// The two arithmetic checks.
	BackLessFore    float64 `json:"backLessFore"`
	RiseLessFall    float64 `json:"riseLessFall"`
	LastLessFirst   float64 `json:"lastLessFirst"`
	ArithmeticHolds bool    `json:"arithmeticHolds"`
	Setups          int     `json:"setups"`
	// Closed is set when a known closing level was given.
	Closed     bool    `json:"closed"`
	Misclosure float64 `json:"misclosure"`
	Allowance  float64 `json:"allowance"`
	Within     bool    `json:"within"`
	// StoppedAt is the row, from 1, beyond which no level could be carried; 0 for none.
	StoppedAt int `json:"stoppedAt,omitempty"`
	// Twice are the points that were read more than once; NotCompared where they
	// could not be compared, Unshared where the misclosure could not be shared out.
	Twice       []ReadTwice `json:"twice,omitempty"`
	NotCompared bool        `json:"notCompared,omitempty"`
	Unshared    bool        `json:"unshared,omitempty"`
}

// ReadTwice is a point that two rows of the book give, by one name at one place.
type ReadTwice struct {
	Station string `json:"station"`
	Rows    [2]int `json:"rows"` // of the book, from 0
	// Apart is the later level less the earlier one, mm, Sigma its standard
	// uncertainty. Doubtful levels are left as each row gives them.
	Apart    float64 `json:"apart"`
	Sigma    float64 `json:"sigma"`
	Doubtful bool    `json:"doubtful,omitempty"`
}

// BookingRow is one row of the book with what follows from it, mm.
type BookingRow struct {
	Station     string  `json:"station,omitempty"`
	Known       bool    `json:"known"`
	Rise        float64 `json:"rise"`
	Fall        float64 `json:"fall"`
	Collimation float64 `json:"collimation"`
	Level       float64 `json:"level"`
	Correction  float64 `json:"correction"`
	Adjusted    float64 `json:"adjusted"`
}

// PadLevel is the window for the level top of the motor pad.
type PadLevel struct {
	// Low and High bound the window, mm; Low > High means that there is none,
	// and Gap says by how much, mm.
	Low  float64 `json:"low"`
	High float64 `json:"high"`
	Gap  float64 `json:"gap"`
	// Water is the lowest level at which rainwater runs round the pad,
	// PinionLow and PinionHigh those at which the pinion meets the rack.
	Water      float64 `json:"water"`
	PinionLow  float64 `json:"pinionLow"`
	PinionHigh float64 `json:"pinionHigh"`
	// HighGround is the highest ground around the pad, at HighAt.
	HighGround float64    `json:"highGround"`
	HighAt     geom.Point `json:"highAt"`
	// HasLevel says that Level is recommended.
	HasLevel bool    `json:"hasLevel"`
	Level    float64 `json:"level"`
	// Pinion is the pinion's height above the motor base at that level, mm.
	Pinion float64 `json:"pinion"`
	// StepNear and StepFar are how far the pad stands above the strip where it
	// starts and where it ends, mm.
	StepNear float64 `json:"stepNear"`
	StepFar  float64 `json:"stepFar"`
	// Formation is the mean depth of its underside below the ground, Thick the
	// mean thickness of its concrete, mm.
	Formation float64 `json:"formation"`
	Thick     float64 `json:"thick"`
}

// TrackLevel is the level of the track's grade at a chainage, mm.
func (g *Ground) TrackLevel(x float64) float64 {
	if g == nil {
		return 0
	}
	return g.Track.Z0 + g.Track.Grade*x
}

// SurfaceLevel is the level of the finished surface that goes with the track at
// a place: its grade and its cross-fall, mm.
func (g *Ground) SurfaceLevel(x, y float64) float64 {
	if g == nil {
		return 0
	}
	return g.Track.At(x, y)
}

// GroundLevel is the level of the ground as it was found, mm; extrapolated where
// nothing was measured as far out.
func (g *Ground) GroundLevel(x, y float64) (level float64, extrapolated bool) {
	if g == nil {
		return 0, false
	}
	if len(g.Both) > 1 {
		side := &g.Both[0]
		if x < side.Meets {
			side = &g.Both[1]
		}
		return side.Ground.GroundLevel(side.From(x), y)
	}
	if g.Model == nil {
		return g.Track.At(x, y), true
	}
	return g.Model.At(x, y)
}

// DropBelowTrack is how far the ground lies under the track's grade, mm;
// negative where it stands above.
func (g *Ground) DropBelowTrack(x, y float64) (drop float64, extrapolated bool) {
	if g == nil {
		return 0, false
	}
	z, extrapolated := g.GroundLevel(x, y)
	return g.Track.At(x, y) - z, extrapolated
}

// Grade is the grade of the track, rise over run towards the run-back.
func (g *Ground) Grade() float64 {
	if g == nil {
		return 0
	}
	return g.Track.Grade
}

// Slope is the same as an angle above the horizontal, rad.
func (g *Ground) Slope() float64 { return math.Atan(g.Grade()) }
