package text

import (
	"math"

	"pegpour/engine/refusal"
)

// Because is why something was refused, as a text with its figures. What an
// error says that has no message of its own stands as it is.
func Because(err error) Text { return TextOf(refusal.Of(err)) }

// TextOf makes a text of the message of a refusal.
func TextOf(m refusal.Message) Text {
	t := Text{Format: m.Format}
	if len(m.Args) > 0 {
		t.Args = make([]Arg, len(m.Args))
	}
	for i, a := range m.Args {
		t.Args[i] = argOf(a)
	}
	return t
}

func argOf(a refusal.Arg) Arg {
	switch {
	case a.Message != nil:
		return List(TextOf(*a.Message))
	case len(a.List) > 0:
		list := make([]Text, len(a.List))
		for i := range a.List {
			list[i] = Text{Format: "{0}", Args: []Arg{argOf(a.List[i])}}
		}
		return List(list...)
	case a.Words != "":
		return Word(Name(a.Words))
	case a.Typed != "":
		return Typed(a.Typed)
	case a.Unit == "mm" && a.Number == math.Round(a.Number):
		return MM(a.Number)
	}
	return Arg{Value: a.Number, Words: Name(a.Unit), Dimension: WithUnit}
}

// Typed is what a person wrote: it is not looked up in the words catalogue.
func Typed(text string) Arg { return Arg{Words: TypedName(text), Dimension: AsTyped} }
