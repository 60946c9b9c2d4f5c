package fieldbook

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/window"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/ground"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// foot holds the sums and the checks, live.
func (s *levelRunScreen) foot(run *ground.LevelRun) app.UI {
	w := s.w
	b := run.Booking
	if b == nil {
		return app.Text("")
	}
	length := func(v float64) string { return w.Length(v, false) }
	sums := w.SayWith("ΣBS {0} − ΣFS {1} = {2}", length(run.SumBack), length(run.SumFore), length(run.SumBack-run.SumFore))
	if !s.collimation {
		sums += "   " + w.SayWith("Σrise {0} − Σfall {1} = {2}", length(run.SumRise), length(run.SumFall),
			length(run.SumRise-run.SumFall))
	}
	var faults []string
	for i := range run.Faults {
		if !run.Faults[i].Detail.Empty() {
			faults = append(faults, w.SayWith("{0}: {1}.", w.SayName(run.Faults[i].Name), w.Sentence(run.Faults[i].Detail)))
		}
	}
	state, class := w.Say("The page adds up: last level less first, rises less falls and sights agree."), "sound"
	if !b.ArithmeticHolds {
		state, class = w.Say("The page does not add up yet: it ends on a foresight when it is closed."), "mind"
		if run.Step == ground.RunDone {
			state, class = w.Say("The page does not add up: look at the sums."), "stop"
		}
	}
	return element.Box("div", "foot",
		element.Text("p", "voice-worked", sums),
		element.Known("p", "book-adds", "says-"+class, "status", state),
		app.If(len(faults) > 0, element.Text("p", "error", strings.Join(faults, " "))),
		s.closure(b),
		element.Box("div", "switches",
			s.ruling(false, "Rise and fall"), s.ruling(true, "Height of collimation")),
	)
}

func (s *levelRunScreen) ruling(collimation bool, name string) app.UI {
	b := app.Button().Type("button").Class("switch").Aria("pressed", strconv.FormatBool(s.collimation == collimation)).
		Text(s.w.Say(name)).
		OnClick(func(app.Context, app.Event) { s.collimation = collimation }, collimation)
	if s.collimation == collimation {
		b = b.Class("here")
	}
	return b
}

func (s *levelRunScreen) closure(b *plan.Booking) app.UI {
	if !b.Closed {
		return element.Text("p", "quiet", s.w.Say("Not closed: finish on the point you began from, or on another known one."))
	}
	words := s.w.SayWith("Misclosure {0} mm, allowed ± {1} mm.", s.w.Decimal(b.Misclosure, 0), s.w.Decimal(b.Allowance, 0))
	if b.Within {
		return element.Known("p", "book-closes", "says-sound", "", language.Sentences(words, s.w.Say("Shared out over the set-ups.")))
	}
	return element.Known("p", "book-closes", "says-stop", "",
		language.Sentences(words, s.w.SayCount(b.Setups, "Level the run again.", "Level the {0} set-ups again.")))
}

// used says whether the plan takes its levels from this page.
func (s *levelRunScreen) used() app.UI {
	w := s.w
	shape := survey.FieldOf(survey.GroundShape)
	levels := &w.Doc.Survey.Ground.Levels
	switch {
	case len(levels.Book) == 0:
		return app.Text("")
	case w.Doc.Survey.Ground.Shape == "" || w.Doc.Survey.Ground.Shape == survey.GroundLevel:
		return element.Box("p", "quiet", app.Text(w.Say("The plan takes the ground as level until its shape is said.")+" "),
			element.Link("quiet-link", "/site/"+w.Doc.ID+"/measure?field="+shape.Path, w.SayName(shape.Name)))
	case levels.Taken != survey.LevelsByStaff:
		return element.Box("p", "quiet", app.Text(w.Say("The plan uses other readings of the ground.")+" "),
			element.Button("row-side", w.Say("Use this page"), func(ctx app.Context, _ app.Event) {
				e, err := storage.SetWords(w.Doc, survey.GroundLevelsTaken, survey.LevelsByStaff)
				w.Commit(ctx, e, err)
			}))
	}
	return app.Text("")
}

// profile is the ground along the fence as booked.
func (s *levelRunScreen) profile(run *ground.LevelRun) app.UI {
	w := s.w
	scene, heights := drawing.ProfileScene(run, w.SceneOptions(false))
	if scene == nil {
		return element.Text("p", "quiet", w.Say("The profile is drawn from two points with their place along the fence."))
	}
	view := draw.Phone(window.Width(), 0)
	view.Mirror = w.Plan().Mirrored()
	svg, err := draw.Render(scene, view, draw.Options{Screen: true, Prefix: "profile"})
	if err != nil {
		return element.Text("p", "error", w.ErrorWords(err))
	}
	return element.Box("figure", "drawing",
		app.Elem("div").ID("profile").Class("paper").Body(app.Raw("<div>"+string(svg)+"</div>")),
		element.Text("figcaption", "quiet", w.SayWith("Heights drawn larger by {0}.", w.Decimal(heights, 0))))
}
