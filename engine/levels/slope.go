package levels

import (
	"math"

	"pegpour/engine/refusal"
)

// Grade is rise over run along a direction: positive climbs. Percent, 1 in n
// and degrees all convert to it; degrees through the tangent, the others
// exactly.
type Grade float64

// MaxGrade is the steepest grade taken, rise over run (about 84°).
const MaxGrade = 10

// Percent is a grade read as a percentage, −1000 to 1000.
func Percent(p float64) (Grade, error) {
	if err := within("slope in percent", -1, p, -100*MaxGrade, 100*MaxGrade); err != nil {
		return 0, err
	}
	return Grade(p / 100), nil
}

// ErrLevelOneIn refuses 1 in 0, which is a wall and not a slope.
var ErrLevelOneIn = error(refusal.Error("a slope of 1 in 0 is a wall; level ground is 0 percent"))

// OneIn is a grade of 1 unit up in n along; negative n falls. |n| from 0.1.
func OneIn(n float64) (Grade, error) {
	if n == 0 {
		return 0, ErrLevelOneIn
	}
	if math.IsInf(n, 0) {
		return 0, nil
	}
	if !(math.Abs(n) >= 1.0/MaxGrade) {
		return 0, &RangeError{Argument: "slope 1 in n", Index: -1, Given: n, Low: 1.0 / MaxGrade, High: math.Inf(1)}
	}
	return Grade(1 / n), nil
}

// Degrees is a grade read as an angle above the horizontal, −84 to 84.
func Degrees(d float64) (Grade, error) {
	if err := within("slope in degrees", -1, d, -84, 84); err != nil {
		return 0, err
	}
	return Grade(math.Tan(d * math.Pi / 180)), nil
}

// Percent is the grade as a percentage.
func (g Grade) Percent() float64 { return 100 * float64(g) }

// Degrees is the grade as an angle above the horizontal.
func (g Grade) Degrees() float64 { return math.Atan(float64(g)) * 180 / math.Pi }

// OneIn is n of 1 in n; +Inf for level.
func (g Grade) OneIn() float64 {
	if g == 0 {
		return math.Inf(1)
	}
	return 1 / float64(g)
}

// Drop is how far the ground lies below a string line at one place.
type Drop struct {
	Name             string
	Chainage, Offset float64 // mm
	// Down is measured from the string down to the ground, mm, −MaxStaff to
	// MaxStaff; negative where the ground stands above the string.
	Down  float64
	Sigma float64 // of Down, mm
}

// StringLine is a string stretched from one level to another; a level string
// has both the same.
type StringLine struct {
	FromChainage, FromLevel float64 // mm
	ToChainage, ToLevel     float64 // mm
}

// LevelString is a level string line at the level given, mm.
func LevelString(level float64) StringLine {
	return StringLine{FromLevel: level, ToChainage: 1, ToLevel: level}
}

// Levels turns drops below the string into levels: RL = string − down. Sag of
// the string is not corrected: pull it tight and prop it in the middle.
// Refuses readings out of range and a sloping string of no length.
func (s StringLine) Levels(drops []Drop) ([]Point, error) {
	for _, v := range []float64{s.FromLevel, s.ToLevel} {
		if err := within("level of the string line", -1, v, -MaxLevel, MaxLevel); err != nil {
			return nil, err
		}
	}
	for _, v := range []float64{s.FromChainage, s.ToChainage} {
		if err := within("chainage of the string line", -1, v, -MaxCoordinate, MaxCoordinate); err != nil {
			return nil, err
		}
	}
	grade := 0.0
	if s.FromLevel != s.ToLevel {
		run := s.ToChainage - s.FromChainage
		if math.Abs(run) < 1 {
			return nil, &RangeError{Argument: "length of the string line", Index: -1, Given: math.Abs(run), Low: 1,
				High: MaxCoordinate}
		}
		grade = (s.ToLevel - s.FromLevel) / run
	}
	out := make([]Point, len(drops))
	for i, d := range drops {
		if err := within("height below the string", i, d.Down, -MaxStaff, MaxStaff); err != nil {
			return nil, err
		}
		out[i] = Point{Name: d.Name, Chainage: d.Chainage, Offset: d.Offset, Sigma: d.Sigma,
			Level: s.FromLevel + grade*(d.Chainage-s.FromChainage) - d.Down}
	}
	if err := checkPoints(out, false); err != nil {
		return nil, err
	}
	return out, nil
}

// Leg is a stretch of ground whose slope was read.
type Leg struct {
	Name        string // of the point at its far end
	Length      float64
	AlongGround bool // Length lies on the slope; else it is level
	Slope       Grade
}

// FromSlopes chains slope readings from a start of known chainage and level
// (mm) to levels at the end of each leg:
//
//	level: Δz = g·L, Δx = L;  along the ground: Δx = L/√(1+g²), Δz = g·Δx
//
// sigmaSlope is the standard uncertainty of each reading, rise over run; the
// level at the end of leg n has u² = Σ(Δx·sigmaSlope)². It returns one point
// more than there are legs.
func FromSlopes(chainage, level float64, legs []Leg, sigmaSlope float64) ([]Point, error) {
	if err := within("standard uncertainty of a slope", -1, sigmaSlope, 0, 1); err != nil {
		return nil, err
	}
	out := []Point{{Chainage: chainage, Level: level}}
	var variance float64
	for i, leg := range legs {
		if err := within("length of leg", i, leg.Length, 0, MaxCoordinate); err != nil {
			return nil, err
		}
		if err := within("slope of leg", i, float64(leg.Slope), -MaxGrade, MaxGrade); err != nil {
			return nil, err
		}
		run := leg.Length
		if leg.AlongGround {
			run /= math.Hypot(1, float64(leg.Slope))
		}
		chainage += run
		level += float64(leg.Slope) * run
		variance += run * run * sigmaSlope * sigmaSlope
		out = append(out, Point{Name: leg.Name, Chainage: chainage, Level: level, Sigma: math.Sqrt(variance)})
	}
	if err := checkPoints(out, false); err != nil {
		return nil, err
	}
	return out, nil
}
