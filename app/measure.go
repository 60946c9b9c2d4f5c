package app

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/fieldbook"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

// measureScreen is the guided measure-up: the drawing asks one question at a
// time.
type measureScreen struct {
	app.Compo
	w       *editing.Site
	nowhere string // why this device does not say where it is
}

func newMeasureScreen(w *editing.Site) *measureScreen { return &measureScreen{w: w} }

// OnNav implements app.Navigator.
func (m *measureScreen) OnNav(ctx app.Context) {
	m.w.FollowAnd(ctx, func(ctx app.Context) {
		if f := ctx.Page().URL().Query().Get("field"); f != "" {
			m.w.Ask(f)
		} else if m.w.Asked == "" {
			m.w.Ask(m.w.FirstOpen())
		}
	}, func() { ui.FocusEntry(m.w) })
}

// OnDismount implements app.Dismounter.
func (m *measureScreen) OnDismount() {
	m.w.StopRanking()
	m.w.Leave()
}

// Render implements app.Composer.
func (m *measureScreen) Render() app.UI {
	w := m.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "measure")
	}
	here := "measure"
	if m.asksChoice() {
		here = "measure asks-choice"
	}
	if m.asksNumber() {
		here = "measure asks-number"
		f, _ := survey.FieldAt(w.Asked)
		open, _ := w.RestOfPart()
		if at, _ := fieldbook.Tool(w, f); at != "" || editing.DropOf(w.Asked) >= 0 || open > 1 {
			here += " has-tool"
		}
		if m.checksHere() != "" {
			here += " stopped"
		}
	}
	var scene func(*plan.Plan, drawing.SceneOptions) *draw.Scene
	if w.Asked == survey.GroundLevelsString || strings.HasPrefix(w.Asked, editing.StepDrops) {
		scene = func(p *plan.Plan, o drawing.SceneOptions) *draw.Scene {
			return drawing.StringScene(p, w.GuessedDrops(), o)
		}
	}
	return ui.SiteFrame(w, here,
		&ui.Drawing{Speaker: w.Speaker, Live: w, Plan: w.Plan(), Options: w.SceneOptions(w.DetailAsked()), Seal: w.Seal,
			Fill: m.asksNumber() || m.asksChoice(), Height: 260, Share: m.share(), Highlight: w.Asked, Window: w.WindowAsked(), Make: scene, OnlyFields: true,
			OnPick: func(ctx app.Context, field, _ string) {
				if field != "" {
					w.Ask(field)
					w.Refresh(ctx)
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
	f, ok := survey.FieldAt(m.w.Asked)
	return ok && f.Numeric()
}

// share is how much of the window the drawing may take: little where the site is
// named, which it says nothing about.
func (m *measureScreen) share() float64 {
	if m.w.Asked == survey.SiteName {
		return 0.2
	}
	return 0.32
}

// asksChoice reports whether there is something to choose: all of it is in sight, and
// the drawing takes what is left.
func (m *measureScreen) asksChoice() bool {
	f, ok := survey.FieldAt(m.w.Asked)
	return ok && f.Dimension == text.Choice
}

// groups is the strip of bars: which parts of the site are known.
func (m *measureScreen) groups() app.UI {
	w := m.w
	groups, counts := survey.Groups(), w.GroupCounts()
	return element.Acting("div", "groups", "group", w.Say("Parts of the site"),
		app.Range(groups).Slice(func(i int) app.UI {
			g := groups[i]
			known, needed := counts[g].Known, counts[g].Needed
			state, word := "none", w.Say("nothing known yet")
			switch {
			case needed == 0 || known >= needed:
				state, word = "all", w.Say("all known")
			case known > 0:
				state, word = "some", w.SayCount(needed-known, "one to go", "{0} to go")
			}
			b := app.Button().Type("button").Class("group group-"+state).Aria("label", w.SayWith("{0}: {1}", w.Say(g), word)).
				Body(
					app.Elem("span").Class("group-bar"), element.Text("span", "group-name", w.Say(g))).
				OnClick(func(ctx app.Context, _ app.Event) {
					w.Ask(w.FirstOpenIn(g))
					w.Refresh(ctx)
				}, g)
			if w.GroupOf(w.Asked) == g {
				b = b.Class("here").Aria("current", "step")
			}
			return b
		}),
	)
}

// here names the part of the site that is asked about.
func (m *measureScreen) here() app.UI {
	w := m.w
	place, all := w.Place()
	return element.Box("p", "group-here", element.Text("span", "", w.Say(w.GroupOf(w.Asked))), app.Elem("span").Dir("ltr").
		Text(strconv.Itoa(place)+" / "+strconv.Itoa(all)))
}

func (m *measureScreen) question() app.UI {
	w := m.w
	if w.Asked == editing.StepDone {
		return m.finished()
	}
	if w.Asked == editing.StepDrops {
		return m.drops()
	}
	if edge, ok := strings.CutSuffix(w.Asked, ".points"); ok {
		return m.points(edge)
	}
	if w.Asked == editing.StepObstructions {
		return m.obstructions()
	}
	f, ok := survey.FieldAt(w.Asked)
	if !ok {
		return m.finished()
	}
	section := app.Elem("section").Class("question").DataSet("asked", f.Path).Aria("label", w.Say("The question")).Body(
		element.Box("div", "ask",
			element.Known("h2", "asked", "", "", w.SayName(f.Name)),
			app.If(f.Help != "", element.Text("p", "help", w.Say(f.Help))),
			app.If(m.checksHere() != "", element.Text("p", "error", m.checksHere())),
			fieldbook.ToolLink(w, f),
			m.otherSide(f),
		),
		m.place(),
		m.answer(f),
	)
	return section
}

// otherSide says where the readings went when the gate was made to run the other way,
// and takes them back for this side where only that answer was wrong.
func (m *measureScreen) otherSide(f survey.Field) app.UI {
	w := m.w
	if !w.Doc.KeepsOtherSide() || f.Path != survey.OpeningHand && f.Path != survey.RunBackRoom {
		return app.Text("")
	}
	return element.Box("div", "told",
		element.Text("p", "",
			w.Say("Room, edges and ground were read on the other side. They are kept, and come back when the gate runs there again.")),
		element.Doing("wide", "use-other-side", w.Say("They were read on this side: use them"), func(ctx app.Context, _ app.Event) {
			e, err := storage.UseOtherSide(w.Doc)
			w.Commit(ctx, e, err)
		}),
	)
}

// checksHere are the stops that belong to the field being asked, and readings that
// contradict it: over the keypad the first, which leaves the drawing room; Watch-outs have
// them all.
func (m *measureScreen) checksHere() string {
	w := m.w
	var words []string
	for i := range w.Plan().Checks {
		if c := &w.Plan().Checks[i]; c.Field == w.Asked && (c.Severity == plan.Stop || c.Question == plan.QuestionGroundShape && c.Severity != plan.Sound) {
			words = append(words, w.Sentence(c.What))
			if m.asksNumber() {
				break
			}
		}
	}
	return strings.Join(words, " ")
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

// next goes on to the next question, back to the one before.
func (m *measureScreen) next(ctx app.Context) { m.step(ctx, 1) }
func (m *measureScreen) back(ctx app.Context) { m.step(ctx, -1) }

func (m *measureScreen) step(ctx app.Context, by int) {
	m.w.Step(ctx, by)
	ui.FocusEntry(m.w)
}

func (m *measureScreen) numberAnswer(f survey.Field) app.UI {
	return ui.NumberBox(m.w, f, m.back, m.next, m.aside())
}

// aside leads from an answer that stops the work to what can be built; else it leaves
// the rest of this part of the site as it is assumed, in one tap.
func (m *measureScreen) aside() app.UI {
	w := m.w
	if m.checksHere() != "" {
		return element.Link("switch", "/site/"+w.Doc.ID+"/ways", w.Say("Ways to build"))
	}
	open, behind := w.RestOfPart()
	if open < 2 {
		return m.asLast()
	}
	return element.Doing("switch rest", "rest", w.Say("Leave the rest as assumed"), func(ctx app.Context, _ app.Event) {
		w.Ask(behind)
		w.Refresh(ctx)
		ui.FocusEntry(w)
	}, behind)
}

func (m *measureScreen) wordsAnswer(f survey.Field) app.UI {
	w := m.w
	input := func(ctx app.Context, e app.Event) { ui.TypeWords(w, ctx, f, e.Get("target").Get("value").String()) }
	var box app.UI
	if f.Path == survey.SiteNotes {
		box = app.Textarea().ID("entry").Class("words").Rows(3).Aria("labelledby", "asked").DataSet("entry", f.Path).
			OnInput(input, f.Path)
	} else {
		box = app.Input().ID("entry").Class("words").Type("text").Attr("autocomplete", "off").Attr("enterkeyhint", "next").
			Aria("labelledby", "asked").DataSet("entry", f.Path).
			OnInput(input, f.Path).On(ui.Entered, func(ctx app.Context, _ app.Event) { m.next(ctx) })
	}
	return element.Box("div", "answer",
		element.Box("div", "words-box", box, ui.KeptMark(w, f.Words(&w.Doc.Survey))), m.whose(f), m.steps())
}

// whose asks beside the name of a site who has it built, where, and how they are
// reached. None of it is needed, so that it costs no tap of those who pass on.
func (m *measureScreen) whose(asked survey.Field) app.UI {
	w := m.w
	if asked.Path != survey.SiteName {
		return app.Text("")
	}
	return app.Range(whoseFields).Slice(func(i int) app.UI {
		f, _ := survey.FieldAt(whoseFields[i])
		words, problem := w.WordsEntry(f)
		return element.Box("div", "",
			element.Box("div", "setting",
				element.Label("entry-"+f.Path, w.SayName(f.Name)),
				app.Input().ID("entry-"+f.Path).Type("text").Attr("autocomplete", "off").Attr("enterkeyhint", "next").
					Value(words).
					OnChange(func(ctx app.Context, e app.Event) {
						words := e.Get("target").Get("value").String()
						ui.TypeWords(w, ctx, f, words)
						if words = strings.TrimSpace(words); f.Path == survey.SiteMeasuredBy && words != "" { // the next sites begin with it
							edit, err := storage.SetSetting(w.Shop, storage.SettingCrew, words)
							w.CommitShop(ctx, edit, err)
						}
					}, f.Path)),
			app.If(problem != "", element.Status("p", "error", "status", problem)),
			app.If(f.Path == survey.SitePlace, element.Doing("wide", "here", w.Say("Take where I am now"),
				func(app.Context, app.Event) { m.placeHere(f) }, w.Doc.ID)),
			app.If(f.Path == survey.SitePlace && m.nowhere != "", element.Status("p", "error", "status", m.nowhere)))
	})
}

// placeHere takes the place of this device for the site's.
func (m *measureScreen) placeHere(place survey.Field) {
	w, site := m.w, m.w.Doc.ID
	m.nowhere = ""
	window.Here(func(latitude, longitude float64) {
		w.Dispatch(func(ctx app.Context) {
			if w.Doc != nil && w.Doc.ID == site {
				w.TypeWords(ctx, place, strconv.FormatFloat(latitude, 'f', 5, 64)+", "+strconv.FormatFloat(longitude, 'f', 5, 64))
			}
		})
	}, func(why string) {
		w.Dispatch(func(app.Context) {
			if m.nowhere = w.Say("This device does not tell where it is: type the place."); why != "" {
				m.nowhere = w.SayWith("This device does not tell where it is ({0}): type the place.", why)
			}
		})
	})
}

var whoseFields = []string{survey.SiteClient, survey.SiteMeasuredBy, survey.SiteAddress, survey.SitePlace, survey.SitePhone}

// steps goes back and on without answering; the primary action stands bottom
// right.
func (m *measureScreen) steps() app.UI {
	return m.stepsTo(app.Button().Type("button").Class("step step-next").DataSet("key", "on").
		OnClick(func(ctx app.Context, _ app.Event) { m.next(ctx) }).Body(app.Text(m.w.Say("Next")), ui.Sign(ui.SignRight)))
}

// stepsTo goes back, and on by the button given.
func (m *measureScreen) stepsTo(on app.UI) app.UI {
	w := m.w
	return element.Box("div", "steps",
		app.Button().Type("button").Class("step").Aria("label", w.Say("Question before")).
			OnClick(func(ctx app.Context, _ app.Event) { m.back(ctx) }).Body(ui.Sign(ui.SignLeft)),
		element.Link("step step-all", "/site/"+w.Doc.ID+"/figures", w.Say("All figures")), on)
}

// obstructions asks what stands in the way.
func (m *measureScreen) obstructions() app.UI {
	w := m.w
	list := w.Doc.Survey.RunBack.Obstructions
	return element.Box("section", "question",
		element.Box("div", "ask",
			element.Known("h2", "asked", "", "", w.Say("Anything in the way?")),
			element.Text("p", "help", w.Say("Trees, pits, taps, tanks, buried services within the run-back or beside it.")),
		),
		element.Box("div", "answer",
			app.If(len(list) == 0, app.Button().Type("button").Class(nothingClass(w)).DataSet("choice", "nothing").
				Aria("pressed", strconv.FormatBool(w.Doc.Ticks[editing.TickNothing])).
				Text(w.Say("I looked: nothing")).OnClick(func(ctx app.Context, _ app.Event) {
				w.Tick(ctx, editing.TickNothing, true)
				m.next(ctx)
			})),
			app.Button().Type("button").Class("wide").DataSet("do", "add-obstruction").
				Body(ui.Sign(ui.SignAdd), app.Text(w.Say("Add something in the way"))).
				OnClick(func(ctx app.Context, _ app.Event) { w.AddObstruction(ctx) }),
			app.Range(list).Slice(func(i int) app.UI {
				kind, _ := survey.FieldAt(string(survey.ObstructionKind.At(i)))
				name := list[i].Name
				if name == "" {
					name = w.Say(editing.OptionWords(kind, kind.Chosen(&w.Doc.Survey)))
				}
				return element.Box("div", "row",
					element.Button("row-main", name, func(ctx app.Context, _ app.Event) {
						w.Ask(kind.Path)
						w.Refresh(ctx)
					}, kind.Path),
					element.Button("row-side", w.Say("Remove"), func(ctx app.Context, _ app.Event) { w.RemoveObstruction(ctx, i) }, i),
				)
			}),
			m.steps(),
		),
	)
}

func nothingClass(w *editing.Site) string {
	if w.Doc.Ticks[editing.TickNothing] {
		return "choice here"
	}
	return "choice"
}
