// Package units reads and writes lengths as the trade types and prints them,
// and writes slopes, angles, areas, volumes and masses for display.
//
// Inside the engine a length is a float64 in millimetres, an angle is in
// radians, a slope is rise over run, an area mm², a volume mm³ and a mass kg.
// Only this package knows any other unit.
//
// # What counts as a decimal sign
//
// A point or a comma may be typed for either. One rule decides, and what it
// cannot decide is refused with both readings named (Ambiguous):
//
//   - Two kinds of separator in one number: the last one is the decimal sign,
//     the others part thousands. 1,234.5 and 1.234,5 are both 1234.5.
//   - The same separator more than once, or spaces: thousands, in groups of
//     three. 1,234,567 and 4 000.
//   - One separator before a unit of metres: the decimal sign. 3,204 m and
//     3.204 m are both 3204 mm.
//   - One separator with exactly three digits after it, no unit, millimetres
//     expected: 3204 mm. As thousands of millimetres and as metres it is the
//     same length, and no tape or laser reads thousandths of a millimetre.
//   - The same with the unit mm written: a comma parts thousands (3,204 mm is
//     3204 mm), a point is refused as ambiguous (3.204 mm).
//   - More than three decimals, or three after four or more digits, where
//     millimetres are meant: refused, because it may be metres.
//   - One comma with exactly three digits after it before cm, feet or inches:
//     refused, because either reading is a length someone may mean.
//   - Anything else: the decimal sign. 12.5 and 12,5 are 12.5.
//
// Conversions use the exact definitions 1 in = 25.4 mm and 1 ft = 304.8 mm
// (international yard and pound agreement, 1959). Whole millimetres, tenths and
// tape fractions convert with one rounding at most, so that equal lengths give
// equal numbers.
package units
