package app

import (
	"strconv"
	"strings"

	"pegpour/engine/text"
	"pegpour/engine/words"
)

// language is the one the screens speak; nil is English. See language.go.
var language *words.Language

// say gives the words of the interface in the user's language. English is the
// key, written in place: the catalogue is gathered from the source (see
// app/words/gather).
func say(english string) string { return language.Say(english) }

// sayWith is say with parts put into the holes {0}, {1} and so on. Words among
// the parts have been said already.
func sayWith(english string, parts ...string) string { return holes(say(english), parts...) }

// sayCount chooses the words for a number of things and puts the number in.
func sayCount(n int, one, many string) string {
	english := many
	if n == 1 {
		english = one
	}
	return holes(language.Count(english, func(int) float64 { return float64(n) }), strconv.Itoa(n))
}

// sentences stand one after the other.
func sentences(all ...string) string {
	var b strings.Builder
	for _, s := range all {
		if s == "" {
			continue
		}
		if b.Len() > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(s)
	}
	return b.String()
}

// sentence writes a text of the engine in the user's units and language. A
// number and its unit stay on one line.
func (w *workspace) sentence(t text.Text) string { return t.In(form, w.inSentence) }

func (w *workspace) inSentence(a text.Arg) string {
	sentence := w.write(a)
	switch a.Dimension {
	case text.Words, text.Choice, text.AsTyped:
		return sentence
	}
	return strings.ReplaceAll(sentence, " ", noBreak)
}

// noBreak is a space at which no line ends.
const noBreak = "\u00a0"

// form is a text of the engine in the user's language, its holes still open.
func form(t text.Text) string {
	return language.Count(t.Format, func(i int) float64 {
		if i < len(t.Args) {
			return t.Args[i].Value
		}
		return 0
	})
}

// write writes one argument with its unit.
func (w *workspace) write(a text.Arg) string {
	switch {
	case len(a.List) > 0:
		return text.Text{Format: "{0}", Args: []text.Arg{a}}.In(form, w.write)
	case a.Dimension == text.Length:
		return w.length(a.Value, true)
	case a.Dimension == text.AsTyped:
		return a.Words
	case a.Dimension == text.Words, a.Dimension == text.Choice:
		return say(a.Words)
	}
	return language.Number(text.PlainArg(a))
}

// size writes a number of a dimension with its unit for a sentence.
func (w *workspace) size(v float64, d text.Dimension) string {
	return w.inSentence(text.Arg{Value: v, Dimension: d})
}

// figure writes an argument as a drawing does: lengths without a unit in the
// metric trade.
func (w *workspace) figure(a text.Arg) string {
	if a.Dimension == text.Length {
		return w.length(a.Value, false)
	}
	return w.write(a)
}

// decimal writes a number with so many decimals, in the user's language.
func decimal(v float64, decimals int) string {
	return language.Number(strconv.FormatFloat(v, 'f', decimals, 64))
}
