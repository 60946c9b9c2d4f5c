package app

import (
	"context"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/engine"
	"pegpour/engine/advice"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// watchScreen groups what was checked: Stop, Mind, Sound.
type watchScreen struct {
	app.Compo
	w *editing.Site

	shown string // code of the check shown on the drawing
	tried *trial

	// confidence and remedies are worked out when the screen is shown and after each
	// change, behind the drawing; seal says of which plan they are, asked which
	// is being worked on.
	seal, asked string
	stop        context.CancelFunc // ends the work; may be nil
	confidence  advice.ConfidenceReport
	remedies    []advice.VerifiedRemedy
}

// trial is a remedy tried out: what it would change.
type trial struct {
	remedy int // of the screen's list
	seal   string
	plan   plan.Plan
}

func newWatchScreen(w *editing.Site) *watchScreen { return &watchScreen{w: w} }

// OnNav implements app.Navigator.
func (s *watchScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *watchScreen) OnDismount() {
	if s.stop != nil {
		s.stop()
	}
	s.w.Leave()
}

// Render implements app.Composer.
func (s *watchScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "watch")
	}
	options := w.SceneOptions(false)
	options.Marks = true
	s.evaluate()
	made, seal := w.Plan(), w.Seal+"marks"
	if s.tried != nil && s.tried.seal == w.Seal {
		made, seal = &s.tried.plan, seal+"tried"+strconv.Itoa(s.tried.remedy)
	}
	shown := &ui.Drawing{Speaker: w.Speaker, Plan: made, Options: options, Seal: seal, Height: 260, Highlight: s.shown}
	stops := s.group(plan.Stop, "Stop", "Do not build it like this.")
	if s.seal != w.Seal {
		// What must not be built is there at once; the rest comes with how sure it is, so
		// that nothing moves under the finger.
		return ui.SiteFrame(w, "watch", shown, s.trialBar(), stops, s.progress())
	}
	return ui.SiteFrame(w, "watch", shown,
		s.trialBar(),
		stops,
		s.readingsToRepeat(),
		s.group(plan.Warning, "Mind", "Know this before building."),
		s.narrowMargins(),
		s.group(plan.Sound, "Sound", "Looked at and found in order."),
		element.Text("p", "quiet",
			w.Say("Give or take: 19 times in 20 the readings are no further out. Where less than that is to spare, or short, it is too close to call.")),
		element.Link("wide", "/site/"+w.Doc.ID+"/ways", w.Say("Ways to build")),
		element.Link("wide", "/site/"+w.Doc.ID+"/loads", w.Say("Load cases")),
		cautionList(w),
	)
}

func (s *watchScreen) group(severity plan.Severity, name, meaning string) app.UI {
	w := s.w
	var items []app.UI
	number := 0
	for i := range w.Plan().Checks {
		c := &w.Plan().Checks[i]
		mark := ""
		if c.Severity != plan.Sound && len(c.Where) > 0 {
			number++
			mark = strconv.Itoa(number)
		}
		if c.Severity == severity {
			items = append(items, s.item(i, c, mark))
		}
	}
	if len(items) == 0 {
		return app.Text("")
	}
	return element.Box("section", "watch watch-"+string(severity),
		element.Text("h2", "", w.Say(name)), element.Text("p", "quiet", w.Say(meaning)),
		element.Box("ul", "list", items...),
	)
}

func (s *watchScreen) item(i int, c *plan.Check, mark string) app.UI {
	w := s.w
	id := "check." + c.Code + "." + strconv.Itoa(i)
	return element.Box("li", "item",
		app.Button().Type("button").Class("row-main").OnClick(func(app.Context, app.Event) { s.shown = id }, id).Body(
			app.If(mark != "", element.Text("span", "mark", mark)),
			element.Text("span", "", w.Sentence(c.What))),
		s.margin(i),
		app.If(!c.Consequence.Empty() && c.Severity != plan.Sound, element.Text("p", "how", w.Sentence(c.Consequence))),
		app.Range(c.Remedies).Slice(func(k int) app.UI {
			if len(c.Remedies[k].Changes) > 0 {
				return app.Text("") // tried first, and listed below if it settles this
			}
			return element.Text("p", "remedy", w.Sentence(c.Remedies[k].Words))
		}),
		app.Range(s.remedies).Slice(func(k int) app.UI {
			r := &s.remedies[k]
			if s.seal != w.Seal || r.Check != i {
				return app.Text("")
			}
			return app.Button().Type("button").Class("wide remedy-button").DataSet("remedy", c.Code).
				OnClick(func(ctx app.Context, _ app.Event) { s.try(ctx, k) }, k, s.seal).Body(
				element.Text("span", "", w.SayWith("Try: {0}", w.Sentence(r.Words))),
				app.If(len(r.Raises) > 0, element.Text("span", "quiet", w.Say("It brings up something else."))))
		}),
		app.If(c.Field != "" && c.Severity != plan.Sound, fieldLink(w, c.Field)),
	)
}

// margin says how sure a check is.
func (s *watchScreen) margin(i int) app.UI {
	if s.seal != s.w.Seal {
		return app.Text("")
	}
	c, ok := s.confidence.Check(i)
	if !ok {
		return app.Text("")
	}
	class := "sure"
	if c.TooClose || c.Flips {
		class = "sure sure-close"
	}
	return app.Elem("p").Class(class).DataSet("sure", c.Code).Text(s.w.Sentence(c.Words))
}

// evaluate asks the engine how sure the plan is and which remedies hold, once
// the drawing is there.
func (s *watchScreen) evaluate() {
	w := s.w
	if s.seal == w.Seal || s.asked == w.Seal {
		return
	}
	if s.stop != nil {
		s.stop()
	}
	c, stop := context.WithCancel(context.Background())
	s.asked, s.stop = w.Seal, stop
	seal, taken, practice := w.Seal, w.Survey(), w.Practice
	w.InSteps(c, func(pause func()) {
		counted := countSteps()
		step := func() {
			pause()
			counted()
		}
		sketch, _ := engine.Begin(taken, practice) // what it refuses stands on the screen
		sketch.Judge()
		step()
		made := *sketch.Finish()
		confidence := advice.ConfidenceInSteps(taken, practice, made, step)
		remedies := advice.VerifiedRemediesInSteps(taken, practice, made, step)
		w.Dispatch(func(app.Context) {
			if c.Err() == nil {
				s.seal, s.confidence, s.remedies = seal, confidence, remedies
			}
		})
	})
}

// progressID is the identity of the bar that tells how far the work has come.
const progressID = "sure-progress"

// countSteps returns a function that moves the bar on by a step.
func countSteps() func() {
	steps := 0
	return func() {
		steps++
		if bar := app.Window().GetElementByID(progressID); bar.Truthy() {
			bar.Set("value", steps)
		}
	}
}

// progress says that it is being worked out how sure the checks are, and how far that is.
func (s *watchScreen) progress() app.UI {
	words := s.w.Say("Working out how sure this is…")
	return element.Box("div", "", element.Status("p", "quiet", "status", words), progressBar(s.w, words))
}

// progressBar is how far it is worked out what the readings' uncertainty does.
func progressBar(w *editing.Site, words string) app.UI {
	taken, designs := w.Survey(), 8
	for _, f := range survey.Fields(&taken) {
		if f.Numeric() && f.Needed(&taken) {
			designs += 2
		}
	}
	return app.Elem("progress").ID(progressID).Attr("max", designs).Attr("value", 0).Aria("label", words)
}

// readingsToRepeat names the readings that would help most if taken again.
func (s *watchScreen) readingsToRepeat() app.UI {
	w := s.w
	if s.seal != w.Seal || len(s.confidence.Again) == 0 {
		return app.Text("")
	}
	return element.Region("section", "told", w.Say("Readings to take again"),
		element.Text("h2", "", w.Say("Would help most if taken again")),
		app.Range(s.confidence.Again).Slice(func(i int) app.UI {
			a := &s.confidence.Again[i]
			return app.A().Class("wide remedy-button").DataSet("again", a.Path).
				Href("/site/"+w.Doc.ID+"/measure?field="+a.Path).Body(
				element.Text("span", "", w.SayName(a.Name)), element.Text("span", "quiet", w.Sentence(a.Words)))
		}),
	)
}

// narrowMargins lists what does not stand as measured, but would with readings a
// little different.
func (s *watchScreen) narrowMargins() app.UI {
	w := s.w
	var items []app.UI
	for i := range s.confidence.Checks {
		c := &s.confidence.Checks[i]
		if s.seal != w.Seal || c.Index >= 0 || !c.Decides {
			continue
		}
		// What would come up says itself what it is about; what is in order has a name.
		name, words := narrowMarginNames[c.Code], w.Sentence(c.Words)
		if !c.Appears.Empty() {
			name, words = "", w.SayWith("With a reading a little different: {0}", w.Sentence(c.Appears))
		}
		items = append(items, element.Box("li", "item", app.If(name != "", element.Box("p", "", element.Text("strong", "", w.Say(name)))),
			element.Text("p", "sure sure-close", words)))
	}
	if len(items) == 0 {
		return app.Text("")
	}
	return element.Box("section", "watch watch-mind",
		element.Text("h2", "", w.Say("In order, but only just")),
		element.Box("ul", "list", items...),
	)
}

// narrowMarginNames are the questions that are only spoken of when they go wrong.
var narrowMarginNames = map[string]string{
	string(plan.QuestionOpeningGuide): "Guide post clear of the opening",
	string(plan.QuestionOpeningMotor): "Motor clear of the opening",
	string(plan.QuestionMotionLost):   "Leaf clears the opening",
	string(plan.QuestionMotionTrack):  "Track on the strip",
	string(plan.QuestionRoomStrip):    "Room for the whole strip",
	string(plan.QuestionRoomPadAlong): "Room for the pad along the fence",
}

// try designs with the remedy and shows what comes of it.
func (s *watchScreen) try(ctx app.Context, remedy int) {
	w := s.w
	taken, shopRules, _ := advice.With(w.Survey(), w.Practice, s.remedies[remedy].Changes)
	made, _ := engine.Design(taken, shopRules)
	s.tried = &trial{remedy: remedy, seal: w.Seal, plan: made}
	ctx.Defer(func(app.Context) {
		if at := app.Window().GetElementByID("content"); at.Truthy() {
			at.Call("scrollIntoView")
		}
	})
}

func (s *watchScreen) trialBar() app.UI {
	w, t := s.w, s.tried
	if t == nil || t.seal != w.Seal || s.seal != w.Seal || t.remedy >= len(s.remedies) {
		return app.Text("")
	}
	r := &s.remedies[t.remedy]
	return element.Acting("div", "trial", "status", "",
		element.Text("h2", "", w.Sentence(r.Words)),
		element.Text("p", "", w.Say("Designed with it: this is settled.")),
		app.If(len(r.Raises) > 0, element.Text("p", "", w.Say("But then:"))),
		app.Range(r.Raises).Slice(func(i int) app.UI { return element.Text("p", "remedy", w.Sentence(r.Raises[i])) }),
		element.Box("dl", "pairs", app.Range(compared).Slice(func(i int) app.UI {
			before, ok1 := w.Plan().Figure(compared[i])
			after, ok2 := t.plan.Figure(compared[i])
			if !ok1 || !ok2 || before.Value == after.Value {
				return app.Text("")
			}
			show := func(f plan.Figure) string { return w.Write(text.Arg{Value: f.Value, Dimension: f.Dimension}) }
			return ui.PairOf(w.SayName(before.Name), show(before)+" → "+show(after))
		})),
		element.Box("div", "steps",
			element.Button("step", w.Say("Leave it"), func(app.Context, app.Event) { s.tried = nil }),
			element.Doing("step step-next", "apply-remedy", w.Say("Do it"), func(ctx app.Context, _ app.Event) {
				s.tried = nil
				w.ApplyRemedy(ctx, r.Remedy)
			}, t.remedy, t.seal),
		),
	)
}

var compared = []string{"leaf.clearStraight", "leaf.clearAlong", "leaf.tail", "leaf.guideRail", "room.needed",
	"pad.along", "pad.out", "strip.length", "concrete.volume"}

// fieldLink leads from a watch-out to the figure it hangs on.
func fieldLink(w *editing.Site, path string) app.UI {
	if f, ok := survey.FieldAt(path); ok {
		return element.Link("quiet-link", "/site/"+w.Doc.ID+"/measure?field="+f.Path, w.SayName(f.Name))
	}
	if strings.HasPrefix(path, practice.PracticePath) {
		return element.Link("quiet-link", "/site/"+w.Doc.ID+"/rules", w.Say("Rules for this site"))
	}
	return app.Text("")
}
