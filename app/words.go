package app

import (
	"strconv"
	"strings"

	"pegpour/engine"
)

// say gives the words of the interface in the user's language. English is the
// key.
func say(english string) string { return english }

// sayCount chooses between one and many and puts the number in.
func sayCount(n int, one, many string) string {
	words := many
	if n == 1 {
		words = one
	}
	return strings.ReplaceAll(say(words), "{0}", strconv.Itoa(n))
}

// sentence writes a text of the engine in the user's units and language.
func (w *workspace) sentence(t engine.Text) string { return t.Write(say(t.Format), w.write) }

// write writes one argument with its unit.
func (w *workspace) write(a engine.Arg) string {
	switch a.Dimension {
	case engine.Length:
		return w.length(a.Value, true)
	case engine.Words, engine.Choice:
		return say(a.Words)
	}
	return engine.PlainArg(a)
}

// figure writes an argument as a drawing does: lengths without a unit in the
// metric trade.
func (w *workspace) figure(a engine.Arg) string {
	if a.Dimension == engine.Length {
		return w.length(a.Value, false)
	}
	return w.write(a)
}
