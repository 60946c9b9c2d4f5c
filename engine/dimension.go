package engine

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

	Pressure      Dimension = "pressure"        // of wind and of the ground, Pa
	SmallLength   Dimension = "small length"    // mm, of which tenths matter
	MassPerArea   Dimension = "mass per area"   // kg/m²
	MassPerLength Dimension = "mass per length" // kg/m
)
