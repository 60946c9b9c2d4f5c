package units

// Unit is a unit of length.
type Unit uint8

// The units of length. Foot also stands for feet and inches.
const (
	Millimetre Unit = iota
	Centimetre
	Metre
	Inch
	Foot
)

// String is the unit as it is written after a number.
func (u Unit) String() string {
	switch u {
	case Millimetre:
		return "mm"
	case Centimetre:
		return "cm"
	case Metre:
		return "m"
	case Inch:
		return "in"
	case Foot:
		return "ft"
	}
	return ""
}

// Millimetres is the length of one unit, exactly as far as a float64 can.
func (u Unit) Millimetres() float64 { return float64(u.tenths()) / 10 }

// Imperial reports whether the unit is feet or inches.
func (u Unit) Imperial() bool { return u == Inch || u == Foot }

// tenths is the length of one unit in tenths of a millimetre, a whole number
// for each.
func (u Unit) tenths() int64 {
	switch u {
	case Centimetre:
		return 100
	case Metre:
		return 10000
	case Inch:
		return 254
	case Foot:
		return 3048
	}
	return 10
}

// unitNamed finds the unit a word or mark stands for.
func unitNamed(word string) (Unit, bool) {
	switch word {
	case "mm", "millimetre", "millimetres", "millimeter", "millimeters":
		return Millimetre, true
	case "cm", "centimetre", "centimetres", "centimeter", "centimeters":
		return Centimetre, true
	case "m", "metre", "metres", "meter", "meters":
		return Metre, true
	case "in", "ins", "inch", "inches", `"`:
		return Inch, true
	case "ft", "foot", "feet", "'":
		return Foot, true
	}
	return Millimetre, false
}
