package language

import (
	"strconv"
	"strings"
	"time"

	"pegpour/engine/text"
	"pegpour/engine/units"
	"pegpour/storage"
)

// NoBreak is a space at which no line ends.
const NoBreak = "\u00a0"

// Feet reports whether lengths are in feet and inches.
func (s *Speaker) Feet() bool { return s.Units == storage.UnitsFeet }

// Unit is the unit of a length that is typed without one.
func (s *Speaker) Unit() units.Unit {
	if s.Feet() {
		return units.Inch
	}
	return units.Millimetre
}

// Length writes a length in the user's units.
func (s *Speaker) Length(mm float64, symbol bool) string {
	if s.Feet() {
		return units.Format(mm, units.FeetInches())
	}
	style := units.WholeMillimetres()
	style.Symbol = symbol
	return units.Format(mm, style)
}

// Money writes an amount in the shop's currency.
func (s *Speaker) Money(v float64) string {
	sentence := s.Decimal(v, 2)
	if s.Currency != "" {
		return s.Currency + " " + sentence
	}
	return sentence
}

// Amount writes an exact amount, given with a decimal point, in the shop's currency.
func (s *Speaker) Amount(exact string) string {
	if less, minus := strings.CutPrefix(exact, "-"); minus {
		return "− " + s.Amount(less)
	}
	exact = s.Number(exact)
	if s.Currency != "" {
		return s.Currency + " " + exact
	}
	return exact
}

// Number writes a number, given with a decimal point, as the language does.
func (s *Speaker) Number(sentence string) string { return s.words.Number(sentence) }

// Decimal writes a number with so many decimals.
func (s *Speaker) Decimal(v float64, decimals int) string {
	return s.Number(strconv.FormatFloat(v, 'f', decimals, 64))
}

// DecimalSign stands between the whole and its parts.
func (s *Speaker) DecimalSign() string { return s.words.DecimalSign() }

// Date writes a day, given as 2006-01-02.
func (s *Speaker) Date(iso string) string { return s.words.Date(iso) }

// LocalTime writes a time, given in RFC 3339, by this device's clock.
func (s *Speaker) LocalTime(sentence string) string {
	t, err := time.Parse(time.RFC3339, sentence)
	if err != nil {
		return sentence
	}
	t = t.Local()
	return s.Date(t.Format(time.DateOnly)) + t.Format(" 15:04")
}

// ByteCount writes a number of bytes for a person.
func (s *Speaker) ByteCount(bytes int64) string {
	switch {
	case bytes < 1000:
		return s.SayWith("{0} bytes", strconv.FormatInt(bytes, 10))
	case bytes < 1000_000:
		return s.SayWith("{0} kB", strconv.FormatInt((bytes+500)/1000, 10))
	case bytes < 100_000_000:
		return s.SayWith("{0} MB", s.Decimal(float64(bytes)/1e6, 1))
	case bytes < 1000_000_000:
		return s.SayWith("{0} MB", strconv.FormatInt((bytes+500_000)/1000_000, 10))
	}
	return s.SayWith("{0} GB", s.Decimal(float64(bytes)/1e9, 1))
}

// Write writes a value of the engine with its unit.
func (s *Speaker) Write(a text.Arg) string {
	switch {
	case len(a.List) > 0:
		return text.Text{Format: "{0}", Args: []text.Arg{a}}.In(s.Form, s.Write)
	case a.Dimension == text.Length:
		return s.Length(a.Value, true)
	case a.Dimension == text.Words, a.Dimension == text.Choice, a.Dimension == text.AsTyped:
		return s.SayName(a.Words)
	}
	return s.Number(text.PlainArg(a))
}

// WriteInSentence writes a value as Write does; it and its unit stay on one line.
func (s *Speaker) WriteInSentence(a text.Arg) string {
	sentence := s.Write(a)
	switch a.Dimension {
	case text.Words, text.Choice, text.AsTyped:
		return sentence
	}
	return strings.ReplaceAll(sentence, " ", NoBreak)
}

// WriteOnDrawing writes a value as a drawing does: lengths without a unit in the
// metric trade.
func (s *Speaker) WriteOnDrawing(a text.Arg) string {
	if a.Dimension == text.Length {
		return s.Length(a.Value, false)
	}
	return s.Write(a)
}

// Size writes a number of a dimension with its unit for a sentence.
func (s *Speaker) Size(v float64, d text.Dimension) string {
	return s.WriteInSentence(text.Arg{Value: v, Dimension: d})
}

// Form is a text of the engine in the user's language, its holes still open.
func (s *Speaker) Form(t text.Text) string {
	return s.words.Count(t.Format, func(i int) float64 {
		if i < len(t.Args) {
			return t.Args[i].Value
		}
		return 0
	})
}

// Sentence writes a text of the engine in the user's units and language.
func (s *Speaker) Sentence(t text.Text) string { return t.In(s.Form, s.WriteInSentence) }
