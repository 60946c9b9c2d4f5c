package building

import (
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/engine/handover"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

// handOverScreen leads through the tests before a gate is handed over, in the order
// that keeps people whole, and takes the signatures.
type handOverScreen struct {
	app.Compo
	hand
	typed  ui.Typed
	papers *documents.Maker

	open  string // the test in hand; "" for the next one
	signs [2]*Pad
}

func newHandOverScreen(w *editing.Site, press *documents.Press) *handOverScreen {
	s := &handOverScreen{hand: hand{w: w}, typed: ui.NewTyped(), papers: documents.NewMaker(w, press)}
	for i, path := range signPaths {
		s.signs[i] = NewPad(w, "sign-"+strings.TrimPrefix(path, "build.handOver."), func(ctx app.Context, strokes string) {
			s.keepSignature(ctx, path, strokes)
		})
	}
	return s
}

// OnNav implements app.Navigator.
func (s *handOverScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *handOverScreen) OnDismount() { s.w.Leave() }

// Render implements app.Composer.
func (s *handOverScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	report := s.judge()
	tests := make([]app.UI, len(report.Tests))
	here := s.inHand(report)
	for i := range report.Tests {
		tests[i] = s.test(&report.Tests[i], report.Tests[i].ID == here)
	}
	return ui.SiteFrame(w, "more tool",
		element.Box("div", "stage", element.Box("h2", "", app.Text(w.Say("Hand-over")),
			element.Text("span", "stage-count", strconv.Itoa(report.Done())+" / "+strconv.Itoa(len(report.Tests))))),
		element.Text("p", "help", w.Say("In this order: nobody stands beside a leaf under power before its stops hold.")),
		element.Box("ol", "tests", tests...),
		s.builtIn(),
		s.used(),
		s.sign(report),
		s.services(),
		s.papers.Button(documents.HandOverPack()),
		cautions(w, "crush", "falling", "electricity"),
	)
}

// judge judges the hand-over as the site stands.
func (s *handOverScreen) judge() *handover.Report {
	taken := s.w.Survey()
	state, _ := storage.HandOverState(s.w.Doc) // what cannot be named is not what was signed
	return handover.Judge(&taken, &s.w.Practice, s.w.Plan(), string(state))
}

// inHand is the test that is open: the one tapped, or the first that did not pass. It
// stays open until somebody goes on, for a first digit may pass already.
func (s *handOverScreen) inHand(r *handover.Report) string {
	for i := range r.Tests {
		if s.open == "" && r.Tests[i].Result != handover.Passed {
			s.open = r.Tests[i].ID
		}
	}
	return s.open
}

// chipClass is how a result looks.
func chipClass(r handover.Result) string {
	switch r {
	case handover.Passed:
		return "chip chip-sound"
	case handover.Failed:
		return "chip chip-stop"
	case handover.Unjudged:
		return "chip chip-mind"
	}
	return "chip"
}

func (s *handOverScreen) test(t *handover.Test, here bool) app.UI {
	w := s.w
	id := t.ID
	head := app.Button().Type("button").Class("test-head").DataSet("test", id).Aria("expanded", strconv.FormatBool(here)).
		OnClick(func(ctx app.Context, _ app.Event) {
			s.open, s.field = id, ""
			w.Refresh(ctx)
		}, id).Body(
		element.Text("span", "test-name", w.SayName(t.Name)),
		element.Text("span", chipClass(t.Result), w.Say(t.Result.Words())))
	if !here {
		return element.Box("li", "test", head)
	}
	body := []app.UI{element.Text("p", "", w.Sentence(t.Do))}
	if !t.Limit.Empty() {
		body = append(body, element.Text("p", "quiet", w.SayWith("Limit: {0}. Source: {1}", w.Sentence(t.Limit), w.Say(t.Source))))
	}
	if t.Barred && t.Result == handover.Open {
		body = append(body, element.Text("p", "bar bar-stop", w.Say("Closed until the tests before it passed.")))
	} else {
		body = append(body, s.entries(t)...)
	}
	if !t.Why.Empty() { // below, so that no key moves under a thumb
		body = append(body, element.Status("p", "error", "alert", w.Sentence(t.Why)))
	}
	return element.Box("li", "test test-here", append([]app.UI{head}, body...)...)
}

// entries are what is entered for a test.
func (s *handOverScreen) entries(t *handover.Test) []app.UI {
	w := s.w
	if slices.Contains(t.Fields, survey.HandOverForces) {
		return s.forces(t)
	}
	var all []app.UI
	for _, path := range t.Fields {
		f, _ := survey.FieldAt(path)
		if f.Numeric() {
			all = append(all, element.Known("h3", "asked", "", "", w.SayName(f.Name)), ui.NumberBox(w, f, s.done, s.done))
			continue
		}
		all = append(all, s.choice(f))
	}
	return all
}

// done goes on to the next test that did not pass, and shows it.
func (s *handOverScreen) done(ctx app.Context) {
	s.open, s.field = "", ""
	s.w.Refresh(ctx)
	s.w.Screen.Defer(func(app.Context) {
		if here := app.Window().Get("document").Call("querySelector", ".test-here"); here.Truthy() {
			here.Call("scrollIntoView", map[string]any{"block": "start", "behavior": "instant"})
		}
	})
}

// choice offers the answers of a field; a second tap takes one back.
func (s *handOverScreen) choice(f survey.Field) app.UI {
	w := s.w
	chosen := f.Words(&w.Doc.Survey)
	var all []app.UI
	for _, o := range f.Options {
		if o.Value == "" {
			continue
		}
		value := o.Value
		all = append(all, app.Button().Type("button").Class(map[bool]string{true: "wide primary", false: "wide"}[chosen == value]).
			DataSet("answer", value).Aria("pressed", strconv.FormatBool(chosen == value)).Text(w.Say(o.Words)).
			OnClick(func(ctx app.Context, _ app.Event) {
				if chosen == value {
					w.Answer(ctx, f, "")
					return
				}
				w.Answer(ctx, f, value)
				s.done(ctx) // to the next, or to what it says here
			}, f.Path, value, chosen))
	}
	return element.Region("div", "list", w.SayName(f.Name), all...)
}

// words is the entry of a line of words.
func (s *handOverScreen) words(path, id string) app.UI {
	w := s.w
	f, _ := survey.FieldAt(path)
	entry := s.typed.Field(path, f.Words(&w.Doc.Survey), func(ctx app.Context, words string) { w.TypeWords(ctx, f, words) }).
		ID(id).DataSet("entry", path)
	if name := s.guessed(path); name != "" {
		entry = entry.Placeholder("~ " + name)
	}
	return element.Box("div", "line-entry", element.Label(id, w.SayName(f.Name)), entry)
}

// builtIn lists what was built in, with serial numbers and settings.
func (s *handOverScreen) builtIn() app.UI {
	w := s.w
	var rows []app.UI
	for i := range w.Doc.Survey.Build.HandOver.Parts {
		rows = append(rows, element.Box("li", "item",
			s.words(string(survey.HandOverPartWhat.At(i)), "part-what-"+strconv.Itoa(i)),
			s.words(string(survey.HandOverPartSerial.At(i)), "part-serial-"+strconv.Itoa(i)),
			s.words(string(survey.HandOverPartSetting.At(i)), "part-setting-"+strconv.Itoa(i)),
			s.remove(survey.HandOverParts, i)))
	}
	return s.section("parts", w.Say("Built in"), w.SayCount(len(rows), "one thing", "{0} things"),
		element.Box("ul", "list", rows...),
		s.addLine(survey.HandOverParts, "add-part", w.Say("Add what was built in"), len(rows) < survey.MaxBuiltIn, survey.BuiltIn{}))
}

// section is a part of the screen that opens.
func (s *handOverScreen) section(id, name, says string, in ...app.UI) app.UI {
	return app.Elem("details").ID(id).Class("test-section").Body(append([]app.UI{
		element.Box("summary", "", element.Text("span", "", name), element.Text("span", "quiet", says))}, in...)...)
}

// addLine adds an entry of words to a list.
func (s *handOverScreen) addLine(list, name, words string, more bool, entry any) app.UI {
	return app.If(more, do(name, words, false, func(ctx app.Context) {
		e, err := storage.AddEntry(s.w.Doc, words, list, entry)
		s.w.Commit(ctx, e, err)
	}))
}

// spent are the fields of what a job used.
var spent = []string{survey.HandOverLoads, survey.HandOverSpoil, survey.HandOverHours, survey.HandOverHoursDig,
	survey.HandOverHoursForm, survey.HandOverHoursPour, survey.HandOverHoursHang, survey.HandOverHoursWire}

// used takes what the job used, from which the shop learns.
func (s *handOverScreen) used() app.UI {
	w := s.w
	return s.section("used", w.Say("What the job used"), s.usedWords(),
		element.Text("p", "help", w.Say("From finished jobs the shop learns its own waste and hours.")),
		element.Box("div", "list", app.Range(spent).Slice(func(i int) app.UI { return s.number(spent[i]) })),
		learnedLink(w))
}

func (s *handOverScreen) usedWords() string {
	n := 0
	for _, path := range spent {
		if f, _ := survey.FieldAt(path); f.Value(&s.w.Doc.Survey).Known() {
			n++
		}
	}
	return strconv.Itoa(n) + " / " + strconv.Itoa(len(spent))
}

// number is a line with a number, which is asked for under it when it is in hand.
func (s *handOverScreen) number(path string) app.UI {
	return element.Box("div", "", s.line(path), app.If(s.field == path, s.question(s.shut)))
}

// shut puts down a number, and goes on where that completes the readings of an edge.
func (s *handOverScreen) shut(ctx app.Context) {
	s.put(ctx)
	for _, t := range s.judge().Tests {
		if t.ID == s.open && t.Result == handover.Passed {
			s.done(ctx)
		}
	}
}

// services lists those that were done, with the day of the next.
func (s *handOverScreen) services() app.UI {
	w := s.w
	h := &w.Doc.Survey.Build.HandOver
	says := ""
	if day, ok := handover.NextService(h, &w.Practice); ok {
		says = w.SayWith("next {0}", w.Date(day.Format("2006-01-02")))
	}
	var rows []app.UI
	for i := range h.Services {
		rows = append(rows, element.Box("li", "item",
			s.words(string(survey.HandOverServiceOn.At(i)), "service-on-"+strconv.Itoa(i)),
			s.words(string(survey.HandOverServiceWhat.At(i)), "service-what-"+strconv.Itoa(i)),
			s.words(string(survey.HandOverServiceBy.At(i)), "service-by-"+strconv.Itoa(i)),
			s.remove(survey.HandOverServices, i)))
	}
	return s.section("services", w.Say("Services"), says, s.number(survey.HandOverServiceEvery),
		element.Box("ul", "list", rows...),
		s.addLine(survey.HandOverServices, "add-service", w.Say("Note a service done today"), len(rows) < survey.MaxServices,
			survey.Service{On: today()}))
}

// forces are the readings at an edge, and what to read next.
func (s *handOverScreen) forces(t *handover.Test) []app.UI {
	w := s.w
	edge, opening := t.Edge, t.Edge == survey.EdgeOpening || t.Edge == survey.EdgeOpeningLatch
	var all []app.UI
	for i := range w.Doc.Survey.Build.HandOver.Forces {
		f := &w.Doc.Survey.Build.HandOver.Forces[i]
		if f.At() != edge {
			continue
		}
		var cells []app.UI
		for _, column := range []survey.ListPath{survey.HandOverForceGap, survey.HandOverForcePeak, survey.HandOverForceLong,
			survey.HandOverForceRest} {
			cells = append(cells, s.number(string(column.At(i))))
		}
		all = append(all, element.Box("div", "item", append(cells, s.remove(survey.HandOverForces, i))...))
	}
	next := []float64{handover.Gaps[1]}
	if !opening {
		next = nil
		for _, gap := range handover.Gaps {
			if !slices.ContainsFunc(w.Doc.Survey.Build.HandOver.Forces, func(f survey.EdgeForce) bool {
				return f.At() == edge && f.Gap.Size == gap
			}) {
				next = append(next, gap)
			}
		}
		if next == nil {
			next = handover.Gaps[:]
		}
	}
	more := len(w.Doc.Survey.Build.HandOver.Forces) < survey.MaxEdgeForces
	for _, gap := range next {
		all = append(all, app.If(more, element.Doing("wide", "force-"+strconv.Itoa(int(gap)),
			w.SayWith("Read with {0} left open", w.Write(text.MM(gap))), func(ctx app.Context, _ app.Event) {
				s.open = t.ID
				s.add(ctx, "Reading of force", survey.HandOverForces,
					survey.EdgeForce{Edge: edge, Gap: survey.Measured(gap, survey.ByTape)},
					len(w.Doc.Survey.Build.HandOver.Forces), survey.MaxEdgeForces, survey.HandOverForcePeak)
			}, t.ID, gap)))
	}
	return all
}
