package units

import "math"

// SlopeStyle is how a slope is written.
type SlopeStyle uint8

// The ways to write a slope.
const (
	Percent   SlopeStyle = iota // 2.5 %
	OneIn                       // 1:40
	Degrees                     // 1.4°
	PerMetre                    // 25 mm/m
	RiseOnRun                   // 0.025
)

// Grade is a slope as rise over run; positive rises. Fall and rise differ by the
// sign only.
type Grade float64

// Percent of the grade.
func (g Grade) Percent() float64 { return 100 * float64(g) }

// Degrees of the grade's angle.
func (g Grade) Degrees() float64 { return math.Atan(float64(g)) * 180 / math.Pi }

// Run is the horizontal length over which the grade rises by one: the n of 1:n,
// negative for a fall, infinite for level.
func (g Grade) Run() float64 { return 1 / float64(g) }

// GradeOfPercent is the grade of a percentage.
func GradeOfPercent(p float64) Grade { return Grade(p / 100) }

// GradeOfRun is the grade of 1:n; n must not be 0.
func GradeOfRun(n float64) Grade { return Grade(1 / n) }

// GradeOfDegrees is the grade of an angle, less than 90 either way.
func GradeOfDegrees(d float64) Grade { return Grade(math.Tan(d * math.Pi / 180)) }

// FormatGrade writes a slope: percent to one decimal, 1:n to the whole n (to one
// decimal below 20), degrees to one decimal, mm/m to the whole. Level is written
// as 0 of the unit in each.
func FormatGrade(g Grade, style SlopeStyle) string {
	v := float64(g)
	switch style {
	case OneIn:
		n := math.Abs(1 / v)
		switch {
		case math.IsNaN(v) || math.IsInf(v, 0):
			return missing
		case n >= 10000:
			return "0"
		case n < 20 && math.Round(10*n) != 10*math.Round(n):
			return signed(v, "1:"+Decimal(n, 1))
		}
		return signed(v, "1:"+Decimal(n, 0))
	case Degrees:
		return withUnit(g.Degrees(), 1, "°")
	case PerMetre:
		return withUnit(1000*v, 0, " mm/m")
	case RiseOnRun:
		return Decimal(v, 4)
	}
	return withUnit(100*v, 1, " %")
}

func signed(v float64, text string) string {
	if v < 0 {
		return "-" + text
	}
	return text
}

func withUnit(v float64, decimals int, unit string) string {
	text := Decimal(v, decimals)
	if text == missing {
		return text
	}
	return text + unit
}

// ParseGrade reads a slope: 2.5 %, 2,5%, 1:40, 1 in 40, 1.4°, 25 mm/m. A number
// without a unit is in def. A sign is kept. Angles of 89° and more, 1:0 and
// whatever Parse would refuse are refused with a *ParseError.
func ParseGrade(text string, def SlopeStyle) (Grade, error) {
	s := &scanner{text: text, allowed: slopeAllowed}
	g, err := s.grade(def)
	if err != nil {
		return 0, err
	}
	return g, nil
}

// signedNumber reads a sign and a number, and the space after it.
func (s *scanner) signedNumber() (sign float64, n number, err *ParseError) {
	if len(s.text) > longest {
		return 0, n, s.refuse(0, TooLong)
	}
	sign = s.sign()
	if s.at == len(s.text) {
		return 0, n, s.refuse(s.at, Empty)
	}
	n, err = s.number()
	s.skipSpace()
	return sign, n, err
}

func (s *scanner) grade(def SlopeStyle) (Grade, *ParseError) {
	sign, n, err := s.signedNumber()
	if err != nil {
		return 0, err
	}
	at := s.at
	v := n.value()
	style := def
	switch word := s.word(); word {
	case "":
		if def == OneIn {
			v = 1 / v
		}
	case "%", "percent":
		style = Percent
	case "°", "deg", "degree", "degrees":
		style = Degrees
	case ":", "in":
		s.skipSpace()
		run, err := s.number()
		if err != nil {
			return 0, err
		}
		style, v = OneIn, v/run.value()
	case "mm":
		if r, width := s.peek(); r == '/' {
			s.at += width
			if s.word() == "m" {
				style = PerMetre
				break
			}
		}
		return 0, s.refuseWord(at, UnknownUnit)
	default:
		return 0, s.refuseWord(at, UnknownUnit)
	}
	s.skipSpace()
	if s.at < len(s.text) {
		return 0, s.refuse(s.at, Trailing)
	}
	switch style {
	case Percent:
		v /= 100
	case PerMetre:
		v /= 1000
	case Degrees:
		if v >= 89 {
			return 0, s.refuseWord(n.from, NoSlope)
		}
		v = float64(GradeOfDegrees(v))
	}
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, s.refuseWord(n.from, NoSlope)
	}
	if v == 0 {
		return 0, nil
	}
	return Grade(sign * v), nil
}

// ParseAngle reads an angle in degrees, with or without the sign for degrees,
// and returns it in radians. A sign is kept; the range is the caller's to check.
func ParseAngle(text string) (rad float64, err error) {
	s := &scanner{text: text, allowed: angleAllowed}
	rad, refused := s.angle()
	if refused != nil {
		return 0, refused
	}
	return rad, nil
}

func (s *scanner) angle() (float64, *ParseError) {
	sign, n, err := s.signedNumber()
	if err != nil {
		return 0, err
	}
	at := s.at
	switch s.word() {
	case "", "°", "deg", "degree", "degrees":
	default:
		return 0, s.refuseWord(at, UnknownUnit)
	}
	s.skipSpace()
	if s.at < len(s.text) {
		return 0, s.refuse(s.at, Trailing)
	}
	if n.digits == 0 {
		return 0, nil
	}
	return sign * n.value() * math.Pi / 180, nil
}

// FormatAngle writes an angle given in radians, in degrees with so many
// decimals.
func FormatAngle(rad float64, decimals int) string {
	return withUnit(rad*180/math.Pi, decimals, "°")
}
