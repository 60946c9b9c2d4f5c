package units

import (
	"math"
	"strconv"
	"strings"
)

// Style is how a length is written.
type Style struct {
	// Unit to write in. Foot writes feet, inches and a fraction; Inch writes
	// inches and a fraction.
	Unit Unit
	// Decimals after the point in a metric unit: 0 to 2 for mm and
	// cm, 0 to 5 for m; what is more is taken as the most.
	Decimals int
	// Denominator of the tape fraction: 1, 2, 4, 8, 16, 32 or 64; anything else
	// is taken as 16.
	Denominator int
	// Symbol writes the unit after the number. Feet and inches always carry
	// their marks.
	Symbol bool
	// Comma writes a decimal comma instead of a point.
	Comma bool
}

// WholeMillimetres writes 3204.
func WholeMillimetres() Style { return Style{Unit: Millimetre} }

// Metres writes 3.204 m.
func Metres() Style { return Style{Unit: Metre, Decimals: 3, Symbol: true} }

// FeetInches writes 10' 6 1/2", to the sixteenth.
func FeetInches() Style { return Style{Unit: Foot, Denominator: 16, Symbol: true} }

// longestWritten is the greatest length that Format writes, mm: a thousand
// kilometres.
const longestWritten = 1e9

// missing is written for what is no number.
const missing = "–"

// Format writes a length of mm millimetres. Halves round away from zero. Parse
// with the style's unit reads every text back as the rounded length: the same
// step of the last decimal, the same sixteenth. What is not finite, or too long
// to be written exactly, gives a dash.
func Format(mm float64, style Style) string {
	if !(math.Abs(mm) < longestWritten) {
		return missing
	}
	if style.Unit.Imperial() {
		return formatTape(mm, style)
	}
	decimals := min(max(style.Decimals, 0), mostDecimals(style.Unit))
	// Steps of the last decimal, found with one rounding of the quotient.
	steps := math.Round(mm * math.Pow10(decimals+1) / float64(style.Unit.tenths()))
	text := fixed(steps, decimals, style.Comma)
	if style.Symbol {
		text += " " + style.Unit.String()
	}
	return text
}

func mostDecimals(u Unit) int {
	if u == Metre {
		return 5
	}
	return 2
}

// Rounded is the length that Format writes, in millimetres.
func Rounded(mm float64, style Style) float64 {
	if !(math.Abs(mm) < longestWritten) {
		return mm
	}
	unit := float64(style.Unit.tenths())
	if style.Unit.Imperial() {
		d := denominator(style.Denominator)
		return math.Round(mm*10*d/254) * 254 / (10 * d)
	}
	decimals := min(max(style.Decimals, 0), mostDecimals(style.Unit))
	return math.Round(mm*math.Pow10(decimals+1)/unit) * unit / math.Pow10(decimals+1)
}

func denominator(d int) float64 {
	switch d {
	case 1, 2, 4, 8, 32, 64:
		return float64(d)
	}
	return 16
}

// formatTape writes feet, inches and a fraction. It counts in whole steps of the
// fraction first, so that a carry reaches the inches and the feet: never 16/16,
// never 12".
func formatTape(mm float64, style Style) string {
	d := int64(denominator(style.Denominator))
	steps := int64(math.Round(mm * 10 * float64(d) / 254))
	var b strings.Builder
	if steps < 0 {
		b.WriteByte('-')
		steps = -steps
	}
	inches, above := steps/d, steps%d
	below := d
	for above > 0 && above%2 == 0 {
		above, below = above/2, below/2
	}
	mark := style.Symbol || style.Unit == Foot
	if style.Unit == Foot && inches >= 12 {
		b.WriteString(strconv.FormatInt(inches/12, 10))
		b.WriteString("' ")
		inches %= 12
	} else if inches == 0 && above > 0 {
		inches = -1 // the fraction stands alone
	}
	if inches >= 0 {
		b.WriteString(strconv.FormatInt(inches, 10))
		if above > 0 {
			b.WriteByte(' ')
		}
	}
	if above > 0 {
		b.WriteString(strconv.FormatInt(above, 10))
		b.WriteByte('/')
		b.WriteString(strconv.FormatInt(below, 10))
	}
	if mark {
		b.WriteByte('"')
	}
	return b.String()
}

// fixed writes a whole number of steps of the last decimal, digit by digit, so
// that no binary remainder can show.
func fixed(steps float64, decimals int, comma bool) string {
	text := strconv.FormatInt(int64(math.Abs(steps)), 10)
	if decimals > 0 {
		if short := decimals + 1 - len(text); short > 0 {
			text = "0000000000"[:short] + text
		}
		mark := "."
		if comma {
			mark = ","
		}
		cut := len(text) - decimals
		text = text[:cut] + mark + text[cut:]
	}
	if steps < 0 {
		return "-" + text
	}
	return text
}
