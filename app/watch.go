package app

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine"
	"pegpour/engine/advice"
	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// watchScreen groups what was checked: Stop, Mind, Sound.
type watchScreen struct {
	app.Compo
	w *workspace

	shown string // code of the check shown on the drawing
	tried *trial

	// sure and remedies are worked out when the screen is shown and after each
	// change, behind the drawing; seal says of which plan they are, asked which
	// is being worked on.
	seal, asked string
	sure        advice.ConfidenceReport
	remedies    []advice.VerifiedRemedy
}

// trial is a remedy tried out: what it would change.
type trial struct {
	remedy int // of the screen's list
	seal   string
	plan   plan.Plan
}

func newWatchScreen() *watchScreen { return &watchScreen{w: current} }

// OnNav implements app.Navigator.
func (s *watchScreen) OnNav(ctx app.Context) { s.w.follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *watchScreen) OnDismount() { s.w.unfollow() }

// Render implements app.Composer.
func (s *watchScreen) Render() app.UI {
	w := s.w
	if w.doc == nil {
		return siteFrame(w, "watch")
	}
	options := w.sceneOptions(false)
	options.Marks = true
	s.workOut()
	made, seal := w.plan(), w.seal+"marks"
	if s.tried != nil && s.tried.seal == w.seal {
		made, seal = &s.tried.plan, seal+"tried"+strconv.Itoa(s.tried.remedy)
	}
	return siteFrame(w, "watch",
		&sheetView{Plan: made, Options: options, Seal: seal, Height: 260, Highlight: s.shown},
		s.trialBar(),
		s.again(),
		s.group(plan.Stop, "Stop", "Do not build it like this."),
		s.group(plan.Warning, "Mind", "Know this before building."),
		s.coming(),
		s.group(plan.Sound, "Sound", "Looked at and found in order."),
		app.A().Class("wide").Href("/site/"+w.doc.ID+"/ways").Text(say("Ways to build")),
		cautionList(w),
	)
}

func (s *watchScreen) group(severity plan.Severity, name, meaning string) app.UI {
	w := s.w
	var items []app.UI
	number := 0
	for i := range w.plan().Checks {
		c := &w.plan().Checks[i]
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
	return app.Section().Class("watch watch-"+string(severity)).Body(
		app.H2().Text(say(name)), app.P().Class("quiet").Text(say(meaning)),
		app.Ul().Class("list").Body(items...),
	)
}

func (s *watchScreen) item(i int, c *plan.Check, mark string) app.UI {
	w := s.w
	id := "check." + c.Code + "." + strconv.Itoa(i)
	return app.Li().Class("item").Body(
		app.Button().Type("button").Class("row-main").OnClick(func(app.Context, app.Event) { s.shown = id }, id).Body(
			app.If(mark != "", app.Span().Class("mark").Text(mark)),
			app.Span().Text(w.sentence(c.What))),
		s.margin(i),
		app.If(!c.Consequence.Empty() && c.Severity != plan.Sound, app.P().Class("how").Text(w.sentence(c.Consequence))),
		app.Range(c.Remedies).Slice(func(k int) app.UI {
			if len(c.Remedies[k].Changes) > 0 {
				return app.Text("") // tried first, and listed below if it settles this
			}
			return app.P().Class("remedy").Text(w.sentence(c.Remedies[k].Words))
		}),
		app.Range(s.remedies).Slice(func(k int) app.UI {
			r := &s.remedies[k]
			if s.seal != w.seal || r.Check != i {
				return app.Text("")
			}
			return app.Button().Type("button").Class("wide remedy-button").DataSet("remedy", c.Code).OnClick(func(ctx app.Context, _ app.Event) { s.try(ctx, k) }, k, s.seal).Body(
				app.Span().Text(sayWith("Try: {0}", w.sentence(r.Words))),
				app.If(len(r.Raises) > 0, app.Span().Class("quiet").Text(say("It brings up something else."))))
		}),
		app.If(c.Field != "" && c.Severity != plan.Sound, w.fieldLink(c.Field)),
	)
}

// margin says how sure a check is.
func (s *watchScreen) margin(i int) app.UI {
	if s.seal != s.w.seal {
		return app.Text("")
	}
	c, ok := s.sure.Check(i)
	if !ok {
		return app.Text("")
	}
	class := "sure"
	if c.TooClose {
		class = "sure sure-close"
	}
	return app.P().Class(class).DataSet("sure", c.Code).Text(s.w.sentence(c.Words))
}

// workOut asks the engine how sure the plan is and which remedies hold, once
// the drawing is there.
func (s *watchScreen) workOut() {
	w := s.w
	if s.seal == w.seal || s.asked == w.seal {
		return
	}
	s.asked = w.seal
	w.dispatch(func(app.Context) {
		if w.doc == nil || s.asked != w.seal {
			return
		}
		survey := w.effective()
		s.sure = advice.Confidence(survey, w.practice, *w.plan())
		s.remedies = advice.VerifiedRemedies(survey, w.practice, *w.plan())
		s.seal = w.seal
	})
}

// again names the readings that would help most if taken again.
func (s *watchScreen) again() app.UI {
	w := s.w
	if s.seal != w.seal || len(s.sure.Again) == 0 {
		return app.Text("")
	}
	return app.Section().Class("told").Aria("label", say("Readings to take again")).Body(
		app.H2().Text(say("Would help most if taken again")),
		app.Range(s.sure.Again).Slice(func(i int) app.UI {
			a := &s.sure.Again[i]
			return app.A().Class("wide remedy-button").DataSet("again", a.Path).Href("/site/"+w.doc.ID+"/measure?field="+a.Path).Body(
				app.Span().Text(say(a.Name)), app.Span().Class("quiet").Text(w.sentence(a.Words)))
		}),
	)
}

// coming lists what does not stand as measured, but would with readings a
// little different.
func (s *watchScreen) coming() app.UI {
	w := s.w
	var items []app.UI
	for i := range s.sure.Checks {
		c := &s.sure.Checks[i]
		if s.seal != w.seal || c.Index >= 0 || !c.TooClose || !c.Decides {
			continue
		}
		words := w.sentence(c.Words)
		if !c.Appears.Empty() {
			words = sayWith("With a reading a little different: {0}", w.sentence(c.Appears))
		}
		name := c.Code
		if known, ok := comingNames[c.Code]; ok {
			name = say(known)
		}
		items = append(items, app.Li().Class("item").Body(app.P().Body(app.Strong().Text(name)), app.P().Class("sure sure-close").Text(words)))
	}
	if len(items) == 0 {
		return app.Text("")
	}
	return app.Section().Class("watch watch-mind").Body(
		app.H2().Text(say("In order, but only just")),
		app.Ul().Class("list").Body(items...),
	)
}

// comingNames are the questions that are only spoken of when they go wrong.
var comingNames = map[string]string{
	"opening.guide": "Guide post clear of the opening",
	"opening.motor": "Motor clear of the opening",
	"motion.lost":   "Leaf clears the opening",
	"motion.track":  "Track on the strip",
	"room.strip":    "Room for the whole strip",
	"room.padAlong": "Room for the pad along the fence",
}

// try designs with the remedy and shows what comes of it.
func (s *watchScreen) try(ctx app.Context, remedy int) {
	w := s.w
	survey, practice, _ := advice.With(w.effective(), w.practice, s.remedies[remedy].Changes)
	plan, _ := engine.Design(survey, practice)
	s.tried = &trial{remedy: remedy, seal: w.seal, plan: plan}
	ctx.Defer(func(app.Context) {
		if at := app.Window().GetElementByID("content"); at.Truthy() {
			at.Call("scrollIntoView")
		}
	})
}

func (s *watchScreen) trialBar() app.UI {
	w, t := s.w, s.tried
	if t == nil || t.seal != w.seal || s.seal != w.seal || t.remedy >= len(s.remedies) {
		return app.Text("")
	}
	r := &s.remedies[t.remedy]
	return app.Div().Class("trial").Role("status").Body(
		app.H2().Text(w.sentence(r.Words)),
		app.P().Text(say("Designed with it: this is settled.")),
		app.If(len(r.Raises) > 0, app.P().Text(say("But then:"))),
		app.Range(r.Raises).Slice(func(i int) app.UI { return app.P().Class("remedy").Text(w.sentence(r.Raises[i])) }),
		app.Dl().Class("pairs").Body(app.Range(compared).Slice(func(i int) app.UI {
			before, ok1 := w.plan().Figure(compared[i])
			after, ok2 := t.plan.Figure(compared[i])
			if !ok1 || !ok2 || before.Value == after.Value {
				return app.Text("")
			}
			show := func(f plan.Figure) string { return w.write(text.Arg{Value: f.Value, Dimension: f.Dimension}) }
			return pair(before.Name, show(before)+" → "+show(after))
		})),
		app.Div().Class("steps").Body(
			app.Button().Type("button").Class("step").Text(say("Leave it")).OnClick(func(app.Context, app.Event) { s.tried = nil }),
			app.Button().Type("button").Class("step step-next").DataSet("do", "apply-remedy").Text(say("Do it")).OnClick(func(ctx app.Context, _ app.Event) {
				s.tried = nil
				w.applyRemedy(ctx, r.Remedy)
			}, t.remedy, t.seal),
		),
	)
}

var compared = []string{"leaf.clearStraight", "leaf.clearAlong", "leaf.tail", "leaf.guideRail", "room.needed", "pad.along", "pad.out", "strip.length", "concrete.volume"}
