package building

import (
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// hand is the field of the survey that a screen has in hand: the one question that is
// asked now.
type hand struct {
	w     *editing.Site
	field string // its path; "" for none
}

// ask takes a field in hand.
func (h *hand) ask(ctx app.Context, path string) {
	h.field = path
	h.w.Refresh(ctx)
	ui.FocusEntry(h.w)
	h.w.Screen.Defer(func(app.Context) {
		if keys := app.Window().Get("document").Call("querySelector", ".question .answer"); keys.Truthy() {
			keys.Call("scrollIntoView", map[string]any{"block": "nearest", "behavior": "instant"})
		}
	})
}

// put puts down what is in hand.
func (h *hand) put(ctx app.Context) {
	h.field = ""
	h.w.Refresh(ctx)
}

// holds reports whether the field in hand stands below a path.
func (h *hand) holds(paths ...string) bool {
	for _, path := range paths {
		if h.field == path || strings.HasPrefix(h.field, path+".") {
			return true
		}
	}
	return false
}

// entryOf is the number of the entry in hand of a list, and its field's step.
func (h *hand) entryOf(list string) (i int, step string, ok bool) {
	rest, ok := strings.CutPrefix(h.field, list+".")
	if !ok {
		return 0, "", false
	}
	number, step, _ := strings.Cut(rest, ".")
	i, err := strconv.Atoi(number)
	return i, step, err == nil
}

// cell is a button that shows a field and takes it in hand.
func (h *hand) cell(path string) app.UI {
	w := h.w
	f := survey.FieldOf(survey.Path(path))
	words := f.Words(&w.Doc.Survey)
	class := "cell"
	if f.Numeric() {
		var problem string
		if words, problem = w.Entry(f); problem != "" {
			words, class = "“"+words+"”", "cell says-stop"
		}
	}
	if words == "" {
		words = "·"
	}
	b := app.Button().Type("button").Class(class).DataSet("cell", path).
		Aria("label", w.SayWith("{0}: {1}", w.SayName(f.Name), words)).Text(words).
		OnClick(func(ctx app.Context, _ app.Event) { h.ask(ctx, path) }, path)
	if h.field == path {
		b = b.Class("here")
	}
	return b
}

// line is a field on a line of its own: what it is, and its cell.
func (h *hand) line(path string) app.UI {
	f := survey.FieldOf(survey.Path(path))
	return element.Box("div", "pair", element.Text("span", "", h.w.SayName(f.Name)), h.cell(path))
}

// choice is the answer of a field that has some, among those that are wanted; nil wants
// all.
func (h *hand) choice(path string, wanted func(value string) bool) app.UI {
	w := h.w
	f := survey.FieldOf(survey.Path(path))
	chosen := f.Chosen(&w.Doc.Survey)
	return app.Select().Class("choice").Aria("label", w.SayName(f.Name)).DataSet("choice", path).
		OnChange(func(ctx app.Context, e app.Event) {
			edit, err := storage.SetWords(w.Doc, path, e.Get("target").Get("value").String())
			w.Commit(ctx, edit, err)
		}, path).Body(app.Range(f.Options).Slice(func(i int) app.UI {
		o := f.Options[i]
		if wanted != nil && !wanted(o.Value) && o.Value != chosen {
			return app.Text("")
		}
		return app.Option().Value(o.Value).Selected(o.Value == chosen).Text(w.Say(o.Words))
	}))
}

// question asks for the field in hand; next goes on from it.
func (h *hand) question(next func(app.Context), aside ...app.UI) app.UI {
	w := h.w
	f, ok := survey.FieldAt(h.field)
	if !ok || !f.Numeric() {
		return app.Text("")
	}
	return element.Region("section", "question", w.Say("The question"),
		element.Known("h2", "asked", "", "", w.SayName(f.Name)),
		app.If(f.Help != "", element.Text("p", "help", w.Say(f.Help))),
		element.Box("div", "", aside...),
		ui.NumberBox(w, f, h.put, next))
}

// add adds an entry to a list and asks for one of its fields.
func (h *hand) add(ctx app.Context, label, list string, entry any, n, most int, step survey.ListPath) {
	if n >= most {
		return
	}
	e, err := storage.AddEntry(h.w.Doc, label, list, entry)
	h.w.Commit(ctx, e, err)
	h.ask(ctx, string(step.At(n)))
}

// remove takes an entry off a list; undo brings it back.
func (h *hand) remove(list string, i int) app.UI {
	return element.Doing("switch", "remove", h.w.Say("Remove this line"), func(ctx app.Context, _ app.Event) {
		e, err := storage.RemoveEntry(h.w.Doc, "Remove a line", list, i)
		h.field = ""
		h.w.Commit(ctx, e, err)
	}, list, i)
}

// do is a wide button.
func do(name, words string, primary bool, act func(app.Context)) app.UI {
	class := "wide"
	if primary {
		class = "wide primary"
	}
	return element.Doing(class, name, words, func(ctx app.Context, _ app.Event) { act(ctx) }, name)
}

// table is rows under their heads.
func table(name string, short bool, heads []string, rows []app.UI) app.UI {
	class := "ruled"
	if short {
		class = "ruled ruled-short"
	}
	return app.Elem("div").Class(class).TabIndex(0).Role("region").Aria("label", name).Body(
		app.Elem("table").Class("book").Aria("label", name).Body(
			element.Box("thead", "", element.Box("tr", "", app.Range(heads).Slice(func(i int) app.UI {
				return app.Elem("th").Attr("scope", "col").Text(heads[i])
			}))),
			element.Box("tbody", "", rows...)))
}

// sightWords says whether a set-up holds, and what its fixed point is.
func sightWords(w *editing.Site, problem, open string, drive bool) app.UI {
	return element.Box("div", "",
		app.If(problem != "", element.Status("p", "says-stop", "status", problem)),
		app.If(problem == "" && open != "", element.Status("p", "says-mind", "status", open)),
		app.If(problem == "" && open == "", element.Status("p", "says-sound", "status", w.Say("The set-up closes."))),
		app.If(drive, element.Text("p", "quiet", w.Say("No level given: the fixed point counts as the finished drive on the track line."))))
}

// cautions are those of the plan with the codes given, where the work can hurt; all of
// them where none are.
func cautions(w *editing.Site, codes ...string) app.UI {
	var list []app.UI
	for i := range w.Plan().Cautions {
		if c := &w.Plan().Cautions[i]; len(codes) == 0 || slices.Contains(codes, c.Code) {
			list = append(list, element.Text("li", "", w.Sentence(c.Words)))
		}
	}
	return app.If(len(list) > 0, element.Region("section", "cautions", w.Say("Cautions"),
		element.Text("h2", "", w.Say("Cautions")), element.Box("ul", "", list...)))
}
