package app

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// measureScreen is the guided measure-up: the drawing asks one question at a
// time.
type measureScreen struct {
	app.Compo
	w *workspace
}

func newMeasureScreen() *measureScreen { return &measureScreen{w: current} }

// OnNav implements app.Navigator.
func (m *measureScreen) OnNav(ctx app.Context) {
	m.w.follow(ctx, func(ctx app.Context) {
		if f := ctx.Page().URL().Query().Get("field"); f != "" {
			m.w.ask(f)
		} else if m.w.asked == "" {
			m.w.ask(m.w.firstOpen())
		}
		m.w.focusEntry()
	})
}

// OnDismount implements app.Dismounter.
func (m *measureScreen) OnDismount() { m.w.unfollow() }

// Render implements app.Composer.
func (m *measureScreen) Render() app.UI {
	w := m.w
	if w.doc == nil {
		return siteFrame(w, "measure")
	}
	here := "measure"
	if m.asksNumber() {
		here = "measure asks-number"
		f, _ := survey.FieldAt(w.asked)
		if at, _ := w.tool(f); at != "" {
			here += " has-tool"
		}
	}
	return siteFrame(w, here,
		&sheetView{Live: w, Plan: w.plan(), Options: w.sceneOptions(w.detailAsked()), Seal: w.seal, Fill: m.asksNumber(), Height: 260, Share: 0.32, Highlight: w.asked, Window: w.windowAsked(), OnlyFields: true,
			OnPick: func(ctx app.Context, field, _ string) {
				if field != "" {
					w.ask(field)
					w.refresh(ctx)
				}
			}},
		m.groups(),
		m.here(),
		m.question(),
	)
}

// asksNumber reports whether the keypad is up: it then keeps its place at the
// bottom and the drawing takes what is left.
func (m *measureScreen) asksNumber() bool {
	f, ok := survey.FieldAt(m.w.asked)
	return ok && f.Numeric()
}

// groups is the strip of bars: which parts of the site are known.
func (m *measureScreen) groups() app.UI {
	w := m.w
	groups, counts := survey.Groups(), w.groupCounts()
	return app.Div().Class("groups").Role("group").Aria("label", say("Parts of the site")).Body(
		app.Range(groups).Slice(func(i int) app.UI {
			g := groups[i]
			known, needed := counts[g].known, counts[g].needed
			state, word := "none", say("nothing known yet")
			switch {
			case needed == 0 || known >= needed:
				state, word = "all", say("all known")
			case known > 0:
				state, word = "some", sayCount(needed-known, "one to go", "{0} to go")
			}
			b := app.Button().Type("button").Class("group group-"+state).Aria("label", sayWith("{0}: {1}", say(g), word)).Body(
				app.Span().Class("group-bar"), app.Span().Class("group-name").Text(say(g))).
				OnClick(func(ctx app.Context, _ app.Event) {
					w.ask(w.firstOf(g))
					w.refresh(ctx)
				}, g)
			if w.groupOf(w.asked) == g {
				b = b.Class("here").Aria("current", "step")
			}
			return b
		}),
	)
}

// here names the part of the site that is asked about.
func (m *measureScreen) here() app.UI {
	w := m.w
	place, all := w.place()
	return app.P().Class("group-here").Body(app.Span().Text(say(w.groupOf(w.asked))), app.Span().Dir("ltr").Text(strconv.Itoa(place)+" / "+strconv.Itoa(all)))
}

func (m *measureScreen) question() app.UI {
	w := m.w
	if w.asked == stepDone {
		return m.finished()
	}
	if w.asked == stepDrops {
		return m.drops()
	}
	if w.asked == stepObstructions {
		return m.obstructions()
	}
	f, ok := survey.FieldAt(w.asked)
	if !ok {
		return m.finished()
	}
	section := app.Section().Class("question").DataSet("asked", f.Path).Aria("label", say("The question")).Body(
		app.Div().Class("ask").Body(
			app.H2().ID("asked").Text(say(f.Name)),
			app.If(f.Help != "", app.P().Class("help").Text(say(f.Help))),
			m.checksHere(f.Path),
			w.toolLink(f),
		),
		m.answer(f),
	)
	return section
}

// checksHere shows the stops that belong to the field being asked.
func (m *measureScreen) checksHere(path string) app.UI {
	w := m.w
	var words []string
	for i := range w.plan().Checks {
		if c := &w.plan().Checks[i]; c.Severity == plan.Stop && c.Field == path {
			words = append(words, w.sentence(c.What))
		}
	}
	return app.If(len(words) > 0, app.P().Class("error").Text(strings.Join(words, " ")))
}

func (m *measureScreen) answer(f survey.Field) app.UI {
	switch {
	case f.Numeric():
		return m.numberAnswer(f)
	case f.Dimension == text.Choice:
		return m.choiceAnswer(f)
	}
	return m.wordsAnswer(f)
}

func (m *measureScreen) next(ctx app.Context) { m.w.next(ctx) }

func (m *measureScreen) numberAnswer(f survey.Field) app.UI {
	return m.w.numberBox(f, m.w.back, m.next)
}

// nextMethod is the way of measuring that the button offers after this one.
func nextMethod(f survey.Field, now survey.Method) survey.Method {
	ways := []survey.Method{survey.ByTape, survey.ByLaser, survey.ByString, survey.ByEstimate}
	switch {
	case f.Dimension == text.Grade:
		ways = []survey.Method{survey.ByPhone, survey.ByStaff, survey.ByEstimate}
	case f.Dimension == text.AngleOf:
		ways = []survey.Method{survey.ByTape, survey.ByPhone, survey.ByEstimate}
	}
	for i, way := range ways {
		if way == now {
			return ways[(i+1)%len(ways)]
		}
	}
	return ways[0]
}

func methodWords(m survey.Method) string {
	switch m {
	case survey.ByString:
		return "string line"
	case survey.ByEstimate:
		return "by eye"
	}
	return string(m)
}

func (m *measureScreen) choiceAnswer(f survey.Field) app.UI {
	w := m.w
	chosen := f.Words(&w.doc.Survey)
	return app.Div().Class("answer").Body(
		app.Div().Class("choices").Role("radiogroup").Aria("labelledby", "asked").Body(
			app.Range(f.Options).Slice(func(i int) app.UI {
				o := f.Options[i]
				words := say(o.Words)
				b := app.Button().Type("button").Class("choice").Role("radio").Aria("checked", strconv.FormatBool(o.Value == chosen)).DataSet("choice", o.Value).
					OnClick(func(ctx app.Context, _ app.Event) { w.choose(ctx, f, o.Value) }, f.Path, o.Value)
				switch {
				case o.Value == chosen:
					return b.Class("here").Body(sign(signDone), app.Text(words))
				case chosen == "" && i == 0:
					return b.Class("assumed").Body(app.Text("~ " + words))
				}
				return b.Body(app.Text(words))
			}),
		),
		w.pointButtons(f),
		m.steps(),
	)
}

func (m *measureScreen) wordsAnswer(f survey.Field) app.UI {
	w := m.w
	input := func(ctx app.Context, e app.Event) { w.typedWords(ctx, f, e.Get("target").Get("value").String()) }
	var box app.UI
	if f.Path == survey.SiteNotes {
		box = app.Textarea().ID("entry").Class("words").Rows(3).Aria("labelledby", "asked").DataSet("entry", f.Path).OnInput(input, f.Path)
	} else {
		box = app.Input().ID("entry").Class("words").Type("text").Attr("autocomplete", "off").Attr("enterkeyhint", "next").Aria("labelledby", "asked").DataSet("entry", f.Path).
			OnInput(input, f.Path).On(entered, func(ctx app.Context, _ app.Event) { m.next(ctx) })
	}
	return app.Div().Class("answer").Body(box, m.steps())
}

// steps goes back and on without answering; the primary action stands bottom
// right.
func (m *measureScreen) steps() app.UI {
	w := m.w
	return app.Div().Class("steps").Body(
		app.Button().Type("button").Class("step").Aria("label", say("Question before")).OnClick(func(ctx app.Context, _ app.Event) { w.back(ctx) }).Body(sign(signLeft)),
		app.A().Class("step step-all").Href("/site/"+w.doc.ID+"/figures").Text(say("All figures")),
		app.Button().Type("button").Class("step step-next").DataSet("key", "on").OnClick(func(ctx app.Context, _ app.Event) { w.next(ctx) }).Body(app.Text(say("Next")), sign(signRight)),
	)
}

// obstructions asks what stands in the way.
func (m *measureScreen) obstructions() app.UI {
	w := m.w
	list := w.doc.Survey.RunBack.Obstructions
	return app.Section().Class("question").Body(
		app.Div().Class("ask").Body(
			app.H2().ID("asked").Text(say("Anything in the way?")),
			app.P().Class("help").Text(say("Trees, pits, taps, tanks, buried services within the run-back or beside it.")),
		),
		app.Div().Class("answer").Body(
			app.If(len(list) == 0, app.Button().Type("button").Class(nothingClass(w)).DataSet("choice", "nothing").Aria("pressed", strconv.FormatBool(w.doc.Ticks[tickNothing])).
				Text(say("I looked: nothing")).OnClick(func(ctx app.Context, _ app.Event) {
				w.tick(ctx, tickNothing, true)
				w.next(ctx)
			})),
			app.Button().Type("button").Class("wide").DataSet("do", "add-obstruction").Body(sign(signAdd), app.Text(say("Add something in the way"))).
				OnClick(func(ctx app.Context, _ app.Event) { w.addObstruction(ctx) }),
			app.Range(list).Slice(func(i int) app.UI {
				kind, _ := survey.FieldAt(string(survey.ObstructionKind.At(i)))
				name := list[i].Name
				if name == "" {
					name = say(optionWords(kind, kind.Chosen(&w.doc.Survey)))
				}
				return app.Div().Class("row").Body(
					app.Button().Type("button").Class("row-main").Text(name).OnClick(func(ctx app.Context, _ app.Event) {
						w.ask(kind.Path)
						w.refresh(ctx)
					}, kind.Path),
					app.Button().Type("button").Class("row-side").Text(say("Remove")).OnClick(func(ctx app.Context, _ app.Event) { w.removeObstruction(ctx, i) }, i),
				)
			}),
			m.steps(),
		),
	)
}

func nothingClass(w *workspace) string {
	if w.doc.Ticks[tickNothing] {
		return "choice here"
	}
	return "choice"
}

func optionWords(f survey.Field, value string) string {
	for _, o := range f.Options {
		if o.Value == value {
			return o.Words
		}
	}
	return value
}
