package text

import (
	"math"
	"strconv"
	"strings"

	"pegpour/engine/refusal"
	"pegpour/engine/words"
)

// Text is a sentence with figures in it. Format is English and doubles as the
// key of the words catalogue; {0}, {1} and so on stand for the arguments, which
// screens write in the user's own units.
type Text struct {
	Format string `json:"format,omitempty"`
	Args   []Arg  `json:"args,omitempty"`
}

// Arg is one argument of a Text: a number with its dimension, or words.
type Arg struct {
	Value     float64   `json:"value"`
	Dimension Dimension `json:"dimension"`
	Words     Name      `json:"words,omitempty"`
	// List is sentences, or parts of one, written with commas between them.
	List []Text `json:"list,omitempty"`
}

func Say(format string, args ...Arg) Text { return Text{Format: format, Args: args} }

func MM(v float64) Arg                { return Arg{Value: v, Dimension: Length} }
func SquareMM(v float64) Arg          { return Arg{Value: v, Dimension: Area} }
func CubicMM(v float64) Arg           { return Arg{Value: v, Dimension: Volume} }
func Radians(v float64) Arg           { return Arg{Value: v, Dimension: AngleOf} }
func Plain(v float64) Arg             { return Arg{Value: v, Dimension: Ratio} }
func Percent(v float64) Arg           { return Arg{Value: v, Dimension: Grade} }
func Used(v float64) Arg              { return Arg{Value: v, Dimension: Use} }
func Newtons(v float64) Arg           { return Arg{Value: v, Dimension: Force} }
func Kilograms(v float64) Arg         { return Arg{Value: v, Dimension: Mass} }
func Pascals(v float64) Arg           { return Arg{Value: v, Dimension: Pressure} }
func Megapascals(v float64) Arg       { return Arg{Value: v, Dimension: Stress} }
func NewtonMillimetres(v float64) Arg { return Arg{Value: v, Dimension: Moment} }
func Number(v float64) Arg            { return Arg{Value: v, Dimension: Count} }
func Word(w Name) Arg                 { return Arg{Words: w, Dimension: Words} }
func List(t ...Text) Arg              { return Arg{List: t, Dimension: Words} }
func WordList(words []Name) Arg {
	list := make([]Text, len(words))
	for i, w := range words {
		list[i] = Say("{0}", Word(w))
	}
	return List(list...)
}
func (t Text) Empty() bool    { return t.Format == "" }
func (t Text) String() string { return t.Write(t.Format, PlainArg) }

// Counted is a sentence about n things, which stands in its first place: one is
// the sentence for a single thing. A language with more forms than two finds
// them under many.
func Counted(n int, one, many string, args ...Arg) Text {
	format := many
	if n == 1 {
		format = one
	}
	return Text{Format: format, Args: append([]Arg{Number(float64(n))}, args...)}
}

// In writes the sentence in another language: form gives the format of a text
// in it, arg an argument that is no list.
func (t Text) In(form func(Text) string, arg func(Arg) string) string {
	return t.Write(form(t), func(a Arg) string {
		if len(a.List) == 0 {
			return arg(a)
		}
		parts := make([]string, len(a.List))
		for i := range a.List {
			parts[i] = a.List[i].In(form, arg)
		}
		return strings.Join(parts, ", ")
	})
}

// Write puts the arguments, written by arg, into format, which is t.Format or
// its translation. A place with no argument is left as it stands.
func (t Text) Write(format string, arg func(Arg) string) string {
	return words.FillWith(format, len(t.Args), func(i int) string { return arg(t.Args[i]) })
}

// PlainArg writes an argument in metric units for logs and the command line.
func PlainArg(a Arg) string {
	fixed := func(v float64, decimals int, unit string) string {
		s := strconv.FormatFloat(v, 'f', decimals, 64)
		if strings.IndexByte(s, '.') >= 0 {
			s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
		}
		if s == "-0" {
			s = "0"
		}
		return s + unit
	}
	switch a.Dimension {
	case Length:
		return fixed(a.Value, 0, " mm")
	case SmallLength:
		return fixed(a.Value, 1, " mm")
	case MassPerArea:
		return fixed(a.Value, 2, " kg/m²")
	case MassPerLength:
		return fixed(a.Value, 2, " kg/m")
	case Area:
		return fixed(a.Value/1e6, 3, " m²")
	case Volume:
		return fixed(a.Value/1e9, 3, " m³")
	case Mass:
		return fixed(a.Value, 1, " kg")
	case AngleOf:
		return fixed(a.Value*DegreesPerRadian, 1, "°")
	case Grade, Fraction:
		return fixed(a.Value*100, 2, " %")
	case Use:
		percent, decimals := usePercent(a.Value)
		return fixed(percent, decimals, " %")
	case Force:
		return fixed(a.Value, 0, " N")
	case Pressure:
		if a.Value >= 10e3 {
			return fixed(a.Value/1e3, 1, " kPa")
		}
		return fixed(a.Value, 0, " Pa")
	case Stress:
		return fixed(a.Value, 2, " MPa")
	case Moment:
		return fixed(a.Value/1e6, 3, " kN·m")
	case Money:
		return fixed(a.Value, 2, "")
	case WithUnit:
		return refusal.Number(a.Value, string(a.Words)).Plain()
	case Words, Choice, AsTyped:
		if len(a.List) > 0 {
			return Text{Format: "{0}", Args: []Arg{a}}.In(func(t Text) string { return t.Format }, PlainArg)
		}
		return a.Words.String()
	}
	return fixed(a.Value, 3, "")
}

const DegreesPerRadian = 57.29577951308232

// Tenths is a small length, of which tenths of a millimetre matter.
func Tenths(v float64) Arg { return Arg{Value: math.Round(v*10) / 10, Dimension: SmallLength} }

// usePercent is a Use in per cent, and to how many decimals it is told. What is too much
// never reads as 100 %, nor does what is not quite that.
func usePercent(v float64) (percent float64, decimals int) {
	percent = 100 * v
	if math.Abs(percent) < 9.95 {
		return percent, 1
	}
	if whole := math.Round(percent); whole == 100 && v > 1+1e-9 {
		percent = 101
	} else if whole == 100 && v < 1-1e-9 {
		percent = 99
	}
	return percent, 0
}
