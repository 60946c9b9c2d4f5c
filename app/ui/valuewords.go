package ui

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// ValueWords shows a field's value in its voice.
func ValueWords(w *editing.Site, f survey.Field) app.UI {
	taken := w.Survey()
	if f.Numeric() {
		if v := f.Value(&taken); v.Known() {
			return element.Text("span", "figure-value voice-measured", w.Write(text.Arg{Value: v.Size, Dimension: f.Dimension}))
		}
		if draft, ok := w.Draft(f.Path); ok {
			return element.Text("span", "figure-value error", "“"+draft+"”")
		}
		if a, ok := f.Assumed(&taken, &w.Practice); ok {
			return element.Text("span", "figure-value voice-assumed", "~ "+w.Write(text.Arg{Value: a, Dimension: f.Dimension}))
		}
		return element.Text("span", "figure-value voice-assumed", "?")
	}
	if words := f.Words(&taken); words != "" {
		if f.Dimension == text.Choice {
			return element.Text("span", "figure-words voice-measured", w.Say(editing.OptionWords(f, words)))
		}
		return app.Elem("span").Class("figure-words voice-measured").Attr("translate", "no").Text(words) // as it was typed
	}
	if f.Dimension == text.Choice {
		return element.Text("span", "figure-words voice-assumed", "~ "+w.Say(f.Options[0].Words))
	}
	return element.Text("span", "figure-words voice-assumed", "–")
}
