package text

// Dimension is what kind of quantity a number is; screens choose units by it.
type Dimension string

// The dimensions in use.
const (
	Length  Dimension = "length" // mm
	Area    Dimension = "area"   // mm²
	Volume  Dimension = "volume" // mm³
	Mass    Dimension = "mass"   // kg
	AngleOf Dimension = "angle"  // rad
	Ratio   Dimension = "ratio"  // plain
	Count   Dimension = "count"  // whole
	Money   Dimension = "money"  // the shop's currency
	Words   Dimension = "words"  // text
	Choice  Dimension = "choice" // one of a list
	Grade   Dimension = "grade"  // rise over run
	Force   Dimension = "force"  // N
	Stress  Dimension = "stress" // MPa
	Moment  Dimension = "moment" // N·mm
	// AsTyped is what a person wrote, WithUnit a number whose unit stands in
	// Arg.Words.
	AsTyped  Dimension = "typed"
	WithUnit Dimension = "unit"
	Density  Dimension = "density" // kg/m³

	// Pressure is of wind, of tyres and of the ground where it is told or typed, Pa:
	// what the sources of wind give and documents hold. Formulas of concrete and
	// ground take MPa, as of a Stress.
	Pressure      Dimension = "pressure"
	SmallLength   Dimension = "small length"    // mm, of which tenths matter
	MassPerArea   Dimension = "mass per area"   // kg/m²
	MassPerLength Dimension = "mass per length" // kg/m
)

// Fraction is a part of a whole, told in per cent. Use is the part of what something
// may take that is asked of it, told no finer than it is known: in whole per cent from
// ten up.
const (
	Fraction Dimension = "fraction"
	Use      Dimension = "use"
)

// MarshalText writes the dimension as documents have it: a Fraction and a Use by the
// name of a Grade, which is told in per cent too and stood for all.
func (d Dimension) MarshalText() ([]byte, error) {
	if d == Fraction || d == Use {
		d = Grade
	}
	return []byte(d), nil
}
