package units

import "math"

// Exact factors: the international yard and pound agreement of 1959.
const (
	cubicFootVolume = 304.8 * 304.8 * 304.8 // mm³
	squareFootArea  = 304.8 * 304.8         // mm²
	cubicYardVolume = 27 * cubicFootVolume  // mm³
	poundMass       = 0.45359237            // kg
)

// AmountStyle is the unit in which an area, a volume or a mass is written.
type AmountStyle uint8

// The units of amounts.
const (
	SquareMetre AmountStyle = iota
	SquareFoot
	CubicMetre
	Litre
	CubicFoot
	CubicYard
	Kilogram
	Tonne
	Pound
)

// amountUnit gives the size of a unit in the engine's own (mm², mm³, kg), the
// decimals it is written with and its symbol.
func amountUnit(style AmountStyle) (size float64, decimals int, symbol string) {
	switch style {
	case SquareFoot:
		return squareFootArea, 1, " ft²"
	case CubicMetre:
		return 1e9, 3, " m³"
	case Litre:
		return 1e6, 0, " L"
	case CubicFoot:
		return cubicFootVolume, 2, " ft³"
	case CubicYard:
		return cubicYardVolume, 2, " yd³"
	case Kilogram:
		return 1, 1, " kg"
	case Tonne:
		return 1000, 2, " t"
	case Pound:
		return poundMass, 0, " lb"
	}
	return 1e6, 3, " m²"
}

// FormatAmount writes an area (mm²), a volume (mm³) or a mass (kg) in the unit
// asked for, with the decimals in use for it: m² and m³ three, litres none, ft²
// one, ft³ and yd³ two, kg one, t two, lb none.
func FormatAmount(amount float64, style AmountStyle) string {
	size, decimals, symbol := amountUnit(style)
	return withUnit(amount/size, decimals, symbol)
}

// Of is how many of the unit an amount in mm², mm³ or kg makes.
func (style AmountStyle) Of(amount float64) float64 {
	size, _, _ := amountUnit(style)
	return amount / size
}

// Times is the amount in mm², mm³ or kg of so many of the unit.
func (style AmountStyle) Times(count float64) float64 {
	size, _, _ := amountUnit(style)
	return count * size
}

// Decimal writes a number with so many decimals (0 to 6), halves away from zero,
// never as a negative nothing; a dash for what is not finite or too great to be
// exact.
func Decimal(v float64, decimals int) string {
	decimals = min(max(decimals, 0), 6)
	steps := v * math.Pow10(decimals)
	if !(math.Abs(steps) < 1<<53) {
		return missing
	}
	return fixed(math.Round(steps), decimals, false)
}
