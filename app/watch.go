package app

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine"
)

// watchScreen groups what was checked: Stop, Mind, Sound.
type watchScreen struct {
	app.Compo
	w *workspace

	shown string // code of the check shown on the drawing
	tried *trial
}

// trial is a remedy tried out: what it would change.
type trial struct {
	check  int
	remedy int
	plan   engine.Plan
	clears bool
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
	plan, seal := &w.plan, w.seal+"marks"
	if s.tried != nil {
		plan, seal = &s.tried.plan, seal+"tried"+strconv.Itoa(s.tried.check)+"."+strconv.Itoa(s.tried.remedy)
	}
	return siteFrame(w, "watch",
		&drawing{Plan: plan, Options: options, Seal: seal, Height: 260, Highlight: s.shown},
		s.trialBar(),
		s.group(engine.Stop, "Stop", "Do not build it like this."),
		s.group(engine.Mind, "Mind", "Know this before building."),
		s.group(engine.Sound, "Sound", "Looked at and found in order."),
		cautionList(w),
	)
}

func (s *watchScreen) group(severity engine.Severity, name, meaning string) app.UI {
	w := s.w
	var items []app.UI
	number := 0
	for i := range w.plan.Checks {
		c := &w.plan.Checks[i]
		mark := ""
		if c.Severity != engine.Sound && len(c.Where) > 0 {
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

func (s *watchScreen) item(i int, c *engine.Check, mark string) app.UI {
	w := s.w
	id := "check." + c.Code + "." + strconv.Itoa(i)
	return app.Li().Class("item").Body(
		app.Button().Type("button").Class("row-main").OnClick(func(app.Context, app.Event) { s.shown = id }, id).Body(
			app.If(mark != "", app.Span().Class("mark").Text(mark)),
			app.Span().Text(w.sentence(c.What))),
		app.If(!c.Consequence.Empty() && c.Severity != engine.Sound, app.P().Class("how").Text(w.sentence(c.Consequence))),
		app.Range(c.Remedies).Slice(func(k int) app.UI {
			r := &c.Remedies[k]
			if len(r.Changes) == 0 {
				return app.P().Class("remedy").Text(w.sentence(r.Words))
			}
			return app.Button().Type("button").Class("wide").DataSet("remedy", c.Code).OnClick(func(app.Context, app.Event) { s.try(i, k) }, i, k).
				Text(say("Try:") + " " + w.sentence(r.Words))
		}),
		app.If(c.Field != "" && c.Severity != engine.Sound, w.fieldLink(c.Field)),
	)
}

// try designs with the remedy and shows what comes of it.
func (s *watchScreen) try(check, remedy int) {
	w := s.w
	c := &w.plan.Checks[check]
	plan, clears := engine.Try(w.effective(), w.practice, *c, c.Remedies[remedy])
	s.tried = &trial{check: check, remedy: remedy, plan: plan, clears: clears}
}

func (s *watchScreen) trialBar() app.UI {
	w, t := s.w, s.tried
	if t == nil || t.check >= len(w.plan.Checks) || t.remedy >= len(w.plan.Checks[t.check].Remedies) {
		return app.Text("")
	}
	c := &w.plan.Checks[t.check]
	r := c.Remedies[t.remedy]
	verdict := say("With it this is settled.")
	if !t.clears {
		verdict = say("With it this is not settled yet.")
	}
	return app.Div().Class("trial").Role("status").Body(
		app.H2().Text(w.sentence(r.Words)),
		app.P().Text(verdict),
		app.Dl().Class("pairs").Body(app.Range(compared).Slice(func(i int) app.UI {
			before, ok1 := w.plan.Figure(compared[i])
			after, ok2 := t.plan.Figure(compared[i])
			if !ok1 || !ok2 || before.Value == after.Value {
				return app.Text("")
			}
			show := func(f engine.Figure) string { return w.write(engine.Arg{Value: f.Value, Dimension: f.Dimension}) }
			return pair(before.Name, show(before)+" → "+show(after))
		})),
		app.Div().Class("steps").Body(
			app.Button().Type("button").Class("step").Text(say("Leave it")).OnClick(func(app.Context, app.Event) { s.tried = nil }),
			app.Button().Type("button").Class("step step-next").DataSet("do", "apply-remedy").Text(say("Do it")).OnClick(func(ctx app.Context, _ app.Event) {
				s.tried = nil
				w.applyRemedy(ctx, r)
			}, t.check, t.remedy),
		),
	)
}

var compared = []string{"leaf.clearStraight", "leaf.clearAlong", "leaf.tail", "leaf.guideRail", "room.needed", "pad.along", "pad.out", "strip.length", "concrete.volume"}
