package app

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/engine/units"
	"pegpour/storage"
)

func pegTick(number int) string { return "peg." + strconv.Itoa(number) }

func obstructionPath(i int, name string) string {
	return survey.RunBackObstructions + "." + strconv.Itoa(i) + "." + name
}

func (w *workspace) feet() bool { return w.shop != nil && w.shop.Settings.Units == storage.UnitsFeet }

func (w *workspace) unit() units.Unit {
	if w.feet() {
		return units.Inch
	}
	return units.Millimetre
}

// length writes a length in the user's units.
func (w *workspace) length(mm float64, symbol bool) string {
	if w.feet() {
		return units.Format(mm, units.FeetInches())
	}
	style := units.WholeMillimetres()
	style.Symbol = symbol
	return units.Format(mm, style)
}

func (w *workspace) money(v float64) string {
	text := decimal(v, 2)
	if w.shop.Settings.Currency != "" {
		return w.shop.Settings.Currency + " " + text
	}
	return text
}

// assumedWords writes what stands in for a value that was not measured.
func (w *workspace) assumedWords(a *survey.Assumption) string {
	switch {
	case a.Unknown:
		return "?"
	case a.Dimension == text.Choice:
		return "~ " + say(a.Words)
	}
	return "~ " + w.write(text.Arg{Value: a.Value, Dimension: a.Dimension})
}

// valueWords shows a field's value in its voice.
func (w *workspace) valueWords(f survey.Field) app.UI {
	survey := w.effective()
	if f.Numeric() {
		if v := f.Value(&survey); v.Known() {
			return app.Span().Class("figure-value voice-measured").Text(w.write(text.Arg{Value: v.Size, Dimension: f.Dimension}))
		}
		if draft, ok := w.drafts[f.Path]; ok {
			return app.Span().Class("figure-value error").Text("“" + draft + "”")
		}
		if a, ok := f.Assumed(&survey, &w.practice); ok {
			return app.Span().Class("figure-value voice-assumed").Text("~ " + w.write(text.Arg{Value: a, Dimension: f.Dimension}))
		}
		return app.Span().Class("figure-value voice-assumed").Text("?")
	}
	if words := f.Words(&survey); words != "" {
		if f.Dimension == text.Choice {
			return app.Span().Class("figure-words voice-measured").Text(say(optionWords(f, words)))
		}
		return app.Span().Class("figure-words voice-measured").Attr("translate", "no").Text(words) // as it was typed
	}
	if f.Dimension == text.Choice {
		return app.Span().Class("figure-words voice-assumed").Text("~ " + say(f.Options[0].Words))
	}
	return app.Span().Class("figure-words voice-assumed").Text("–")
}

// outlineWords says how deep and how large a part is.
func (w *workspace) outlineWords(o plan.Outline) string {
	low, high := o.Ring.Bounds()
	words := w.length(high.X-low.X, true) + " × " + w.length(high.Y-low.Y, true)
	if o.Depth > 0 {
		words += ", " + sayWith("deep {0}", w.length(o.Depth, true))
	}
	if o.Concrete {
		words += ", " + w.write(text.Arg{Value: o.Area, Dimension: text.Area})
	}
	return words
}

// fieldLink leads from a watch-out to the figure it hangs on.
func (w *workspace) fieldLink(path string) app.UI {
	if f, ok := survey.FieldAt(path); ok {
		return app.A().Class("quiet-link").Href("/site/" + w.doc.ID + "/measure?field=" + f.Path).Text(say(f.Name))
	}
	if strings.HasPrefix(path, practice.PracticePath) {
		return app.A().Class("quiet-link").Href("/site/" + w.doc.ID + "/rules").Text(say("Rules for this site"))
	}
	return app.Text("")
}
