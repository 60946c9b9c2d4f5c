package ui

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/engine/plan"
	"pegpour/engine/reference"
	"pegpour/engine/text"
)

// FigureTold is a figure with its formula, its source and what it rests on.
func FigureTold(w *editing.Site, f plan.Figure) app.UI {
	mark := ""
	class := "voice-worked"
	if f.Assumed {
		mark, class = "~ ", "voice-assumed"
	}
	name, value := f.Told()
	return element.Box("div", "",
		element.Text("h2", "", w.SayName(name)),
		element.Text("p", "value "+class, mark+w.Write(value)),
		element.Text("p", "how", w.Sentence(f.How)),
		element.Text("p", "source", w.SayWith("Source: {0}", w.Say(f.Source))),
		app.If(f.Assumed, element.Text("p", "source", w.Say("It rests on a value that was not measured."))),
		figureNotes(w, f.ID, f.FirstPass),
	)
}

// Pair is a line of a list: a name and its value.
func Pair(l *language.Speaker, name, value string) app.UI {
	return PairOf(l.Say(name), value)
}

// PairOf is pair with a name that has been said.
func PairOf(name, value string) app.UI {
	return element.Box("div", "pair", element.Text("dt", "", name), element.Text("dd", "", value))
}

// FigureRow is a figure that opens to its reason.
func FigureRow(w *editing.Site, f plan.Figure) app.UI {
	mark, class := "", "voice-worked"
	if f.Assumed {
		mark, class = "~ ", "voice-assumed"
	}
	name, value := f.Told()
	return element.Box("details", "figure",
		element.Box("summary", "", element.Text("span", "", w.SayName(name)), element.Text("span", "figure-value "+class, mark+w.Write(value))),
		element.Text("p", "how", w.Sentence(f.How)),
		element.Text("p", "source", w.SayWith("Source: {0}", w.Say(f.Source))),
		figureNotes(w, f.ID, f.FirstPass),
	)
}

// figureNotes say at a figure what decides beyond it and where it is checked.
func figureNotes(w *editing.Site, id string, firstPass bool) app.UI {
	var notes []app.UI
	if firstPass {
		notes = append(notes, element.Text("p", "first-pass", w.Say("A first pass, not a design: local codes and a licensed engineer decide.")))
	}
	if len(reference.Topics(id)) > 0 && w.Doc != nil {
		notes = append(notes, element.Link("quiet-link", "/site/"+w.Doc.ID+"/sources?figure="+id, w.Say("How this is checked")))
	}
	return element.Box("div", "figure-notes", notes...)
}

// Depths are how deep strip and pad go, and the holes, each by its own name.
func Depths(w *editing.Site) []app.UI {
	shown := make([]app.UI, 0, len(depthFigures)+1)
	for _, id := range depthFigures {
		shown = append(shown, BigFigure(w, "", id))
	}
	if hole := w.Plan().Deepest(plan.PartFootingHole); hole != nil {
		shown = append(shown, big("footing.hole", "voice-worked", w.Length(hole.Deep(), true),
			w.Say("Deepest hole of the footing")))
	}
	return shown
}

var depthFigures = []string{plan.FigureFootDepth, plan.FigurePadDepth, plan.FigureDriveStripDepth,
	plan.FigureGuideHoleDepth, plan.FigureWallPostDepth}

// BigFigure is a figure that is read first and from afar. Without a name it is called
// by its own.
func BigFigure(w *editing.Site, name, id string) app.UI {
	f, ok := w.Plan().Figure(id)
	if !ok {
		return app.Text("")
	}
	mark, class := "", "voice-worked"
	if f.Assumed {
		mark, class = "~", "voice-assumed"
	}
	called := w.SayName(f.Name)
	if name != "" {
		called = w.Say(name)
	}
	return big(id, class, mark+w.Write(text.Arg{Value: f.Value, Dimension: f.Dimension}), called)
}

func big(id, class, value, name string) app.UI {
	return element.Box("div", "big",
		app.Elem("span").Class("big-value "+class).DataSet("figure", id).Text(value),
		element.Text("span", "big-name", name),
	)
}
