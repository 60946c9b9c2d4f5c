package ui

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// ValueWords shows a field's value in its voice.
func ValueWords(w *editing.Site, f survey.Field) app.UI {
	taken := w.Survey()
	if f.Numeric() {
		if v := f.Value(&taken); v.Known() {
			return app.Span().Class("figure-value voice-measured").
				Text(w.Write(text.Arg{Value: v.Size, Dimension: f.Dimension}))
		}
		if draft, ok := w.Draft(f.Path); ok {
			return app.Span().Class("figure-value error").Text("“" + draft + "”")
		}
		if a, ok := f.Assumed(&taken, &w.Practice); ok {
			return app.Span().Class("figure-value voice-assumed").
				Text("~ " + w.Write(text.Arg{Value: a, Dimension: f.Dimension}))
		}
		return app.Span().Class("figure-value voice-assumed").Text("?")
	}
	if words := f.Words(&taken); words != "" {
		if f.Dimension == text.Choice {
			return app.Span().Class("figure-words voice-measured").Text(w.Say(editing.OptionWords(f, words)))
		}
		return app.Span().Class("figure-words voice-measured").Attr("translate", "no").Text(words) // as it was typed
	}
	if f.Dimension == text.Choice {
		return app.Span().Class("figure-words voice-assumed").Text("~ " + w.Say(f.Options[0].Words))
	}
	return app.Span().Class("figure-words voice-assumed").Text("–")
}
