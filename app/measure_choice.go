package app

import (
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/engine/survey"
)

// pick is one button of a choice: what it says, and what it answers in one tap.
type pick struct {
	name, words string
	answers     []editing.Answered
	here        bool // it is what stands there
}

// picks are the buttons of a choice. Where two questions are mostly answered together,
// one tap answers both.
func (m *measureScreen) picks(f survey.Field) []pick {
	w := m.w
	taken := &w.Doc.Survey
	chosen := f.Words(taken)
	edge := func(given, along string) []editing.Answered {
		at, _ := survey.FieldAt(along)
		return []editing.Answered{{Path: given, Words: survey.EdgeSquare},
			{Path: along, Value: survey.Value{How: w.Method(at), Text: "0"}}}
	}
	flush := func(e *survey.Edge) bool { return e.Given == survey.EdgeSquare && e.Along.Known() && e.Along.Size == 0 }
	var all []pick
	switch f.Path {
	case survey.OpeningHand:
		for i, words := range []string{"To the right, seen from the street", "To the left, seen from the street",
			"To the right, seen from inside", "To the left, seen from inside"} {
			hand, from := f.Options[i%2].Value, survey.SeenFromStreet
			name := hand
			if i > 1 {
				from = survey.SeenFromInside
				name += "-inside"
			}
			all = append(all, pick{name, words, []editing.Answered{{Path: f.Path, Words: hand},
				{Path: survey.OpeningSeenFrom, Words: from}}, chosen == hand && taken.Opening.SeenFrom == from})
		}
		return all
	case survey.DriveRunBackEdgeGiven:
		right := edge(f.Path, survey.DriveRunBackEdgeAlong)
		left := edge(survey.DriveLatchEdgeGiven, survey.DriveLatchEdgeAlong)
		here := flush(&taken.Drive.RunBackEdge)
		both := here && flush(&taken.Drive.LatchEdge)
		all = []pick{{"flush", "Square, in line with the post’s inner face", right, here && !both},
			{"both-flush", "Both edges so", append(right, left...), both}}
	case survey.DriveLatchEdgeGiven:
		all = []pick{{"flush", "Square, in line with the post’s inner face", edge(f.Path, survey.DriveLatchEdgeAlong),
			flush(&taken.Drive.LatchEdge)}}
	}
	in := len(all) > 0 && (all[0].here || all[len(all)-1].here)
	for _, o := range f.Options {
		words := o.Words
		if len(all) > 0 && o.Value == survey.EdgeSquare {
			words = "Square, elsewhere"
		}
		all = append(all, pick{o.Value, words, nil, o.Value == chosen && !(in && o.Value == survey.EdgeSquare)})
	}
	return all
}

// choose answers a choice and goes on.
func (m *measureScreen) choose(ctx app.Context, f survey.Field, p pick) {
	if p.answers == nil {
		m.w.Answer(ctx, f, p.name)
	} else {
		m.w.AnswerAll(ctx, f.Name.String(), p.answers...)
		m.w.PassAnswered(p.answers)
	}
	m.next(ctx)
}

func (m *measureScreen) choiceAnswer(f survey.Field) app.UI {
	w := m.w
	all := m.picks(f)
	open := !slices.ContainsFunc(all, func(p pick) bool { return p.here })
	last := w.LastWords(f)
	return element.Box("div", "answer",
		app.Elem("div").Class("choices").Class(map[bool]string{true: "choices-many"}[len(all) > 3]).Role("radiogroup").
			Aria("labelledby", "asked").Body(
			app.Range(all).Slice(func(i int) app.UI {
				p := all[i]
				words := w.Say(p.words)
				b := app.Button().Type("button").Class("choice").Role("radio").
					Aria("checked", strconv.FormatBool(p.here)).DataSet("choice", p.name).
					OnClick(func(ctx app.Context, _ app.Event) { m.choose(ctx, f, p) }, f.Path, p.name)
				if open && p.name == last {
					words = w.SayWith("{0} (as last time)", words)
				}
				switch {
				case p.here:
					return b.Class("here").Body(ui.Sign(ui.SignDone), app.Text(words))
				case open && i == 0:
					return b.Class("assumed").Body(app.Text("~ " + words))
				}
				return b.Body(app.Text(words))
			}),
		),
		m.aside(),
		m.steps(),
	)
}

// asLast answers what a shop builds alike as at the last site, in one tap, and says all of
// it before.
func (m *measureScreen) asLast() app.UI {
	w := m.w
	last, open := w.AsLast()
	if last == nil {
		return app.Text("")
	}
	said := make([]string, len(open))
	for i, path := range open {
		f, _ := survey.FieldAt(path)
		if f.Numeric() {
			said[i] = w.SayWith("{0}: {1}", w.SayName(f.Name), "~"+w.Size(f.Value(&last.Survey).Size, f.Dimension))
		} else {
			said[i] = w.Say(editing.OptionWords(f, f.Words(&last.Survey)))
		}
	}
	return app.Button().Type("button").Class("switch rest").DataSet("do", "as-last").Body(element.Box("span", "",
		element.Text("strong", "", w.SayWith("All as at {0}", ui.SiteName(w.Speaker, last.Survey.Site.Name))),
		app.Text(" "+strings.Join(said, " · ")))).
		OnClick(func(ctx app.Context, _ app.Event) {
			w.TakeAsLast(ctx)
			ui.FocusEntry(w)
		}, last.ID, len(open))
}
