package app

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/ground"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

// levelRunScreen is a page of the level book, ruled as surveyors rule it, with
// its checks at the foot and the profile under it.
type levelRunScreen struct {
	app.Compo
	w *workspace

	field       string // the cell being booked
	collimation bool   // heights of collimation instead of rise and fall
}

func newLevelRunScreen() *levelRunScreen { return &levelRunScreen{w: current} }

const levelBook = survey.GroundLevelsBook + "."

// OnNav implements app.Navigator.
func (s *levelRunScreen) OnNav(ctx app.Context) { s.w.follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *levelRunScreen) OnDismount() { s.w.unfollow() }

// Render implements app.Composer.
func (s *levelRunScreen) Render() app.UI {
	w := s.w
	if w.doc == nil {
		return siteFrame(w, "more")
	}
	run := ground.BookLevels(w.effective(), w.practice)
	return siteFrame(w, "more tool",
		app.H2().Text(say("Level run")),
		s.page(&run),
		s.asked(&run),
		s.foot(&run),
		s.used(),
		s.profile(&run),
	)
}

// page is the ruled page.
func (s *levelRunScreen) page(run *ground.LevelRun) app.UI {
	heads := []string{"Point", "BS", "IS", "FS", "Rise", "Fall", "RL", "Along", "Out"}
	spoken := []string{"Point", "Backsight", "Intermediate sight", "Foresight", "Rise", "Fall", "Reduced level", "Along the fence", "Out from the fence"}
	if s.collimation {
		heads = []string{"Point", "BS", "IS", "FS", "HPC", "RL", "Along", "Out"}
		spoken = []string{"Point", "Backsight", "Intermediate sight", "Foresight", "Height of collimation", "Reduced level", "Along the fence", "Out from the fence"}
	}
	class := "ruled"
	if s.field != "" {
		class = "ruled ruled-short"
	}
	return app.Div().Class(class).TabIndex(0).Role("region").Aria("label", say("Page of the level book")).Body(
		app.Table().Class("book").Aria("label", say("Level book")).Body(
			app.THead().Body(app.Tr().Body(app.Range(heads).Slice(func(i int) app.UI {
				return app.Th().Scope("col").Aria("label", say(spoken[i])).Text(say(heads[i]))
			}))),
			app.TBody().Body(app.Range(run.Rows).Slice(func(i int) app.UI { return s.row(run, i) })),
		),
	)
}

func (s *levelRunScreen) row(run *ground.LevelRun, i int) app.UI {
	w := s.w
	row, r := &w.doc.Survey.Ground.Levels.Book[i], &run.Rows[i]
	name := row.Station
	if name == "" {
		name = strconv.Itoa(i + 1)
	}
	if r.Turning || r.HalfDone && row.Back.Known() {
		name += " " + say("(CP)")
	}
	worked := func(show bool, v float64) app.UI {
		if !show {
			return app.Td()
		}
		return app.Td().Class("voice-worked").Text(w.length(v, false))
	}
	cells := []app.UI{app.Th().Scope("row").Body(s.cell(i, "station", name)),
		app.Td().Body(s.cell(i, "back", w.reading(row.Back))), app.Td().Body(s.cell(i, "intermediate", w.reading(row.Intermediate))), app.Td().Body(s.cell(i, "fore", w.reading(row.Fore)))}
	if s.collimation {
		cells = append(cells, worked(r.Height != 0, r.Height))
	} else {
		cells = append(cells, worked(r.HasRise && r.Rise > 0, r.Rise), worked(r.HasRise && r.Fall > 0, r.Fall))
	}
	level := worked(r.Read && r.Known, r.Adjusted)
	cells = append(cells, level, app.Td().Body(s.cell(i, "along", w.reading(row.Along))), app.Td().Body(s.cell(i, "offset", w.reading(row.Offset))))
	return app.Tr().Body(cells...)
}

// reading writes a value as it stands in the book; a dot where there is none.
func (w *workspace) reading(v survey.Value) string {
	if !v.Known() {
		return "·"
	}
	return w.length(v.Size, false)
}

func (s *levelRunScreen) cell(i int, column, text string) app.UI {
	path := levelBook + strconv.Itoa(i) + "." + column
	f, _ := survey.FieldAt(path)
	if draft, ok := s.w.drafts[path]; ok {
		text = "“" + draft + "”"
	}
	b := app.Button().Type("button").Class("cell").DataSet("cell", strconv.Itoa(i)+"."+column).Aria("label", sayWith("{0}: {1}", say(f.Name), text)).Text(text).
		OnClick(func(ctx app.Context, _ app.Event) { s.ask(ctx, path) }, path)
	if s.field == path {
		b = b.Class("here")
	}
	return b
}

func (s *levelRunScreen) ask(ctx app.Context, path string) {
	s.field = path
	s.w.refresh(ctx)
	s.w.focusEntry()
	s.w.screen.Defer(func(app.Context) {
		window := app.Window()
		if keys := window.Get("document").Call("querySelector", ".question .answer"); keys.Truthy() {
			keys.Call("scrollIntoView", map[string]any{"block": "nearest", "behavior": "instant"})
		}
		if cell := window.Get("document").Call("querySelector", ".cell.here"); cell.Truthy() {
			page := cell.Call("closest", ".ruled")
			page.Set("scrollTop", cell.Get("offsetTop").Float()-page.Get("clientHeight").Float()/2)
		}
	})
}

// foot holds the sums and the checks, live.
func (s *levelRunScreen) foot(run *ground.LevelRun) app.UI {
	w := s.w
	b := run.Booking
	if b == nil {
		return app.Text("")
	}
	length := func(v float64) string { return w.length(v, false) }
	sums := sayWith("ΣBS {0} − ΣFS {1} = {2}", length(run.SumBack), length(run.SumFore), length(run.SumBack-run.SumFore))
	if !s.collimation {
		sums += "   " + sayWith("Σrise {0} − Σfall {1} = {2}", length(run.SumRise), length(run.SumFall), length(run.SumRise-run.SumFall))
	}
	var faults []string
	for i := range run.Faults {
		if !run.Faults[i].Detail.Empty() {
			faults = append(faults, sayWith("{0}: {1}.", say(run.Faults[i].Name), w.sentence(run.Faults[i].Detail)))
		}
	}
	state, class := say("The page adds up: last level less first, rises less falls and sights agree."), "sound"
	if !b.ArithmeticHolds {
		state, class = say("The page does not add up yet: it ends on a foresight when it is closed."), "mind"
		if run.Step == ground.RunDone {
			state, class = say("The page does not add up: look at the sums."), "stop"
		}
	}
	return app.Div().Class("foot").Body(
		app.P().Class("voice-worked").Text(sums),
		app.P().ID("book-adds").Class("says-"+class).Role("status").Text(state),
		app.If(len(faults) > 0, app.P().Class("error").Text(strings.Join(faults, " "))),
		s.closure(b),
		app.Div().Class("switches").Body(
			s.ruling(false, "Rise and fall"), s.ruling(true, "Height of collimation")),
	)
}

func (s *levelRunScreen) ruling(collimation bool, name string) app.UI {
	b := app.Button().Type("button").Class("switch").Aria("pressed", strconv.FormatBool(s.collimation == collimation)).Text(say(name)).
		OnClick(func(app.Context, app.Event) { s.collimation = collimation }, collimation)
	if s.collimation == collimation {
		b = b.Class("here")
	}
	return b
}

func (s *levelRunScreen) closure(b *plan.Booking) app.UI {
	if !b.Closed {
		return app.P().Class("quiet").Text(say("Not closed: finish on the point you began from, or on another known one."))
	}
	words := sayWith("Misclosure {0} mm, allowed ± {1} mm.", decimal(b.Misclosure, 0), decimal(b.Allowance, 0))
	if b.Within {
		return app.P().ID("book-closes").Class("says-sound").Text(sentences(words, say("Shared out over the set-ups.")))
	}
	return app.P().ID("book-closes").Class("says-stop").Text(sentences(words, sayCount(b.Setups, "Level the run again.", "Level the {0} set-ups again.")))
}

// asked is the cell in hand, or what the staff does next.
func (s *levelRunScreen) asked(run *ground.LevelRun) app.UI {
	w := s.w
	f, ok := survey.FieldAt(s.field)
	if ok && (f.Numeric() || f.Dimension == text.Words) {
		guide := s.guide()
		var box app.UI
		if f.Numeric() {
			box = w.numberBox(f, s.close, s.next)
		} else {
			box = app.Div().Class("answer").Body(
				app.Input().ID("entry").Class("words").Type("text").Attr("autocomplete", "off").Attr("enterkeyhint", "next").Aria("labelledby", "asked").DataSet("entry", f.Path).
					OnInput(func(ctx app.Context, e app.Event) { w.typedWords(ctx, f, e.Get("target").Get("value").String()) }, f.Path).
					On(entered, func(ctx app.Context, _ app.Event) { s.next(ctx) }, f.Path),
				app.Button().Type("button").Class("primary").DataSet("key", "on").Text(say("Done")).OnClick(func(ctx app.Context, _ app.Event) { s.next(ctx) }, f.Path))
		}
		return app.Section().Class("question").Body(
			app.H2().ID("asked").Text(say(f.Name)),
			app.If(guide != "", app.P().Class("help").Text(guide)), s.rowActions(), box)
	}
	do := func(name, words, help string, primary bool, act func(app.Context)) app.UI {
		class := "wide"
		if primary {
			class = "wide primary"
		}
		return app.Button().Type("button").Class(class).DataSet("do", name).Title(help).Text(say(words)).OnClick(func(ctx app.Context, _ app.Event) { act(ctx) }, name)
	}
	var steps []app.UI
	switch run.Step {
	case ground.RunBackFirst:
		steps = append(steps, app.P().Class("help").Text(say("Stand the staff on a point that keeps its level and can be found again, and set up the level about half-way.")),
			do("begin", "Read the first backsight", "", true, s.begin))
	case ground.RunTurnFore:
		steps = append(steps, app.P().Class("error").Text(say("The staff was not read from the level's old place: the run is cut here.")),
			do("turn-fore", "Book the foresight of this change point", "", true, func(ctx app.Context) { s.askLast(ctx, "fore") }))
	default:
		done := run.Step == ground.RunDone
		if done {
			steps = append(steps, app.P().Class("help").Text(say("The page ends on a foresight. To go on, carry the level from that point.")),
				do("turn", "Go on: set up again and read the same point", "", false, func(ctx app.Context) { s.askLast(ctx, "back") }),
				do("known", "Known level of the last point", "", !s.closedKnown(), func(ctx app.Context) { s.ask(ctx, survey.GroundLevelsClose) }))
		} else {
			steps = append(steps, do("point", "Read another point", "", true, func(ctx app.Context) { s.add(ctx, "intermediate") }),
				do("turn", "Move the level: change point", "", false, func(ctx app.Context) { s.add(ctx, "fore") }),
				do("close", "Close: last foresight", "", false, func(ctx app.Context) { s.add(ctx, "fore") }))
		}
		steps = append(steps, do("remove", "Take the last row away", "", false, s.removeLast))
	}
	steps = append(steps, do("start", "Level of the first point", "", false, func(ctx app.Context) { s.ask(ctx, survey.GroundLevelsStart) }))
	return app.Section().Class("list").Body(steps...)
}

// rowActions are what can be done with the row of the cell in hand.
func (s *levelRunScreen) rowActions() app.UI {
	row, _, ok := bookCell(s.field)
	if !ok || row >= len(s.w.doc.Survey.Ground.Levels.Book) {
		return app.Text("")
	}
	name := s.w.doc.Survey.Ground.Levels.Book[row].Station
	if name == "" {
		name = strconv.Itoa(row + 1)
	}
	button := func(do, words, spoken string, act func(ctx app.Context)) app.UI {
		return app.Button().Type("button").Class("switch").DataSet("do", do).Aria("label", strings.ReplaceAll(spoken, "{0}", name)).Text(words).
			OnClick(func(ctx app.Context, _ app.Event) { act(ctx) }, do, row)
	}
	return app.Div().Class("switches").Body(
		button("insert-row", say("Row before"), say("Row before {0}"), func(ctx app.Context) { s.insert(ctx, row) }),
		button("remove-row", say("Remove row"), say("Remove row {0}"), func(ctx app.Context) { s.remove(ctx, row) }),
	)
}

// insert rules a row that was forgotten, before another.
func (s *levelRunScreen) insert(ctx app.Context, row int) {
	w := s.w
	if len(w.doc.Survey.Ground.Levels.Book) >= survey.MaxReadings {
		return
	}
	e, err := storage.InsertEntry(w.doc, "Row of the level book", survey.GroundLevelsBook, row, survey.BookRow{})
	w.commit(ctx, e, err)
	s.ask(ctx, levelBook+strconv.Itoa(row)+".intermediate")
}

// remove takes any row away; undo brings it back where it stood.
func (s *levelRunScreen) remove(ctx app.Context, row int) {
	e, err := storage.RemoveEntry(s.w.doc, "Remove a row", survey.GroundLevelsBook, row)
	s.w.commit(ctx, e, err)
	s.close(ctx)
}

func (s *levelRunScreen) closedKnown() bool { return s.w.doc.Survey.Ground.Levels.Close.Known() }

// guide says what to do with staff and level for the cell in hand.
func (s *levelRunScreen) guide() string {
	switch s.field[strings.LastIndex(s.field, ".")+1:] {
	case "back":
		if s.field == levelBook+"0.back" {
			return say("Staff on the known point. Bubble in the middle, staff upright.")
		}
		return say("Leave the staff exactly where it is. Set the level up again and read the same point.")
	case "fore":
		return say("Last reading before the level moves: stand the staff on something hard, and leave it there for the next backsight.")
	case "along":
		return say("Where the staff stands, from the latch post. Leave it empty for a point that only carries the level.")
	}
	return ""
}

func (s *levelRunScreen) begin(ctx app.Context) {
	w := s.w
	if w.doc.Survey.Ground.Levels.Taken == "" {
		e, err := storage.SetWords(w.doc, survey.GroundLevelsTaken, survey.LevelsByStaff)
		w.commit(ctx, e, err)
	}
	if len(w.doc.Survey.Ground.Levels.Book) == 0 {
		s.add(ctx, "back")
		return
	}
	s.ask(ctx, levelBook+"0.back")
}

// add rules a new row and asks for its first reading.
func (s *levelRunScreen) add(ctx app.Context, column string) {
	w := s.w
	n := len(w.doc.Survey.Ground.Levels.Book)
	if n >= survey.MaxReadings {
		return
	}
	e, err := storage.AddEntry(w.doc, "Row of the level book", survey.GroundLevelsBook, survey.BookRow{})
	w.commit(ctx, e, err)
	s.ask(ctx, levelBook+strconv.Itoa(n)+"."+column)
}

func (s *levelRunScreen) askLast(ctx app.Context, column string) {
	if n := len(s.w.doc.Survey.Ground.Levels.Book); n > 0 {
		s.ask(ctx, levelBook+strconv.Itoa(n-1)+"."+column)
	}
}

func (s *levelRunScreen) removeLast(ctx app.Context) {
	w := s.w
	if n := len(w.doc.Survey.Ground.Levels.Book); n > 0 {
		e, err := storage.RemoveEntry(w.doc, "Remove a row", survey.GroundLevelsBook, n-1)
		w.commit(ctx, e, err)
	}
	s.close(ctx)
}

// next goes from a reading to where it was taken, and from there on.
func (s *levelRunScreen) next(ctx app.Context) {
	row, column, ok := bookCell(s.field)
	if ok && (column == "intermediate" || column == "fore") && !s.w.doc.Survey.Ground.Levels.Book[row].Along.Known() {
		s.ask(ctx, levelBook+strconv.Itoa(row)+".along")
		return
	}
	s.close(ctx)
}

func (s *levelRunScreen) close(ctx app.Context) {
	s.field = ""
	s.w.refresh(ctx)
}

// bookCell takes the path of a cell apart.
func bookCell(path string) (row int, column string, ok bool) {
	rest, found := strings.CutPrefix(path, levelBook)
	index, column, cut := strings.Cut(rest, ".")
	row, err := strconv.Atoi(index)
	return row, column, found && cut && err == nil
}

// used says whether the plan takes its levels from this page.
func (s *levelRunScreen) used() app.UI {
	w := s.w
	shape := survey.FieldOf(survey.GroundShape)
	levels := &w.doc.Survey.Ground.Levels
	switch {
	case len(levels.Book) == 0:
		return app.Text("")
	case w.doc.Survey.Ground.Shape == "" || w.doc.Survey.Ground.Shape == survey.GroundLevel:
		return app.P().Class("quiet").Body(app.Text(say("The plan takes the ground as level until its shape is said.")+" "),
			app.A().Class("quiet-link").Href("/site/"+w.doc.ID+"/measure?field="+shape.Path).Text(say(shape.Name)))
	case levels.Taken != survey.LevelsByStaff:
		return app.P().Class("quiet").Body(app.Text(say("The plan uses other readings of the ground.")+" "),
			app.Button().Type("button").Class("row-side").Text(say("Use this page")).OnClick(func(ctx app.Context, _ app.Event) {
				e, err := storage.SetWords(w.doc, survey.GroundLevelsTaken, survey.LevelsByStaff)
				w.commit(ctx, e, err)
			}))
	}
	return app.Text("")
}

// profile is the ground along the fence as booked.
func (s *levelRunScreen) profile(run *ground.LevelRun) app.UI {
	w := s.w
	scene, heights := drawing.ProfileScene(run, w.sceneOptions(false))
	if scene == nil {
		return app.P().Class("quiet").Text(say("The profile is drawn from two points with their place along the fence."))
	}
	view := draw.Phone(pageWidth(), 0)
	view.Mirror = w.plan().Mirrored()
	svg, err := draw.Render(scene, view, draw.Options{Screen: true, Prefix: "profile"})
	if err != nil {
		return app.P().Class("error").Text(w.errorWords(err))
	}
	return app.Figure().Class("drawing").Body(
		app.Div().ID("profile").Class("paper").Body(app.Raw("<div>"+string(svg)+"</div>")),
		app.FigCaption().Class("quiet").Text(sayWith("Heights drawn larger by {0}.", decimal(heights, 0))))
}
