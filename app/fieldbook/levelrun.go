package fieldbook

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/engine/ground"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

// levelRunScreen is a page of the level book, ruled as surveyors rule it, with
// its checks at the foot and the profile under it.
type levelRunScreen struct {
	app.Compo
	w *editing.Site

	field       string // the cell being booked
	collimation bool   // heights of collimation instead of rise and fall
}

// NewLevelRunScreen returns the screen.
func NewLevelRunScreen(w *editing.Site) app.Composer { return &levelRunScreen{w: w} }

// OnNav implements app.Navigator.
func (s *levelRunScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *levelRunScreen) OnDismount() { s.w.Leave() }

// Render implements app.Composer.
func (s *levelRunScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	run := ground.BookLevels(w.Survey(), w.Practice)
	return ui.SiteFrame(w, "more tool",
		element.Text("h2", "", w.Say("Level run")),
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
	spoken := []string{"Point", "Backsight", "Intermediate sight", "Foresight", "Rise", "Fall", "Reduced level",
		"Along the fence", "Out from the fence"}
	if s.collimation {
		heads = []string{"Point", "BS", "IS", "FS", "HPC", "RL", "Along", "Out"}
		spoken = []string{"Point", "Backsight", "Intermediate sight", "Foresight", "Height of collimation", "Reduced level",
			"Along the fence", "Out from the fence"}
	}
	class := "ruled"
	if s.field != "" {
		class = "ruled ruled-short"
	}
	return app.Elem("div").Class(class).TabIndex(0).Role("region").Aria("label", s.w.Say("Page of the level book")).Body(
		app.Elem("table").Class("book").Aria("label", s.w.Say("Level book")).Body(
			element.Box("thead", "", element.Box("tr", "", app.Range(heads).Slice(func(i int) app.UI {
				return app.Elem("th").Attr("scope", "col").Aria("label", s.w.Say(spoken[i])).Text(s.w.Say(heads[i]))
			}))),
			element.Box("tbody", "", app.Range(run.Rows).Slice(func(i int) app.UI { return s.row(run, i) })),
		),
	)
}

func (s *levelRunScreen) row(run *ground.LevelRun, i int) app.UI {
	w := s.w
	row, r := &w.Doc.Survey.Ground.Levels.Book[i], &run.Rows[i]
	name := row.Station
	if name == "" {
		name = strconv.Itoa(i + 1)
	}
	if r.Turning || r.HalfDone && row.Back.Known() {
		name += " " + w.Say("(CP)")
	}
	worked := func(show bool, v float64) app.UI {
		if !show {
			return app.Elem("td")
		}
		return element.Text("td", "voice-worked", w.Length(v, false))
	}
	cells := []app.UI{app.Elem("th").Attr("scope", "row").Body(s.cell(i, "station", name)),
		element.Box("td", "", s.cell(i, "back", reading(w, row.Back))),
		element.Box("td", "", s.cell(i, "intermediate", reading(w, row.Intermediate))),
		element.Box("td", "", s.cell(i, "fore", reading(w, row.Fore)))}
	if s.collimation {
		cells = append(cells, worked(r.Height != 0, r.Height))
	} else {
		cells = append(cells, worked(r.HasRise && r.Rise > 0, r.Rise), worked(r.HasRise && r.Fall > 0, r.Fall))
	}
	level := worked(r.Read && r.Known, r.Adjusted)
	cells = append(cells, level,
		element.Box("td", "", s.cell(i, "along", reading(w, row.Along))),
		element.Box("td", "", s.cell(i, "offset", reading(w, row.Offset))))
	return element.Box("tr", "", cells...)
}

// reading writes a value as it stands in the book; a dot where there is none.
func reading(w *editing.Site, v survey.Value) string {
	if !v.Known() {
		return "·"
	}
	return w.Length(v.Size, false)
}

func (s *levelRunScreen) cell(i int, column, sentence string) app.UI {
	path := editing.LevelBook + strconv.Itoa(i) + "." + column
	f, _ := survey.FieldAt(path)
	if draft, ok := s.w.Draft(path); ok {
		sentence = "“" + draft + "”"
	}
	b := app.Button().Type("button").Class("cell").DataSet("cell", strconv.Itoa(i)+"."+column).
		Aria("label", s.w.SayWith("{0}: {1}", s.w.SayName(f.Name), sentence)).Text(sentence).
		OnClick(func(ctx app.Context, _ app.Event) { s.ask(ctx, path) }, path)
	if s.field == path {
		b = b.Class("here")
	}
	return b
}

func (s *levelRunScreen) ask(ctx app.Context, path string) {
	s.field = path
	s.w.Refresh(ctx)
	ui.FocusEntry(s.w)
	s.w.Screen.Defer(func(app.Context) {
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

// asked is the cell in hand, or what the staff does next.
func (s *levelRunScreen) asked(run *ground.LevelRun) app.UI {
	w := s.w
	f, ok := survey.FieldAt(s.field)
	if ok && (f.Numeric() || f.Dimension == text.Words) {
		guide := s.guide()
		var box app.UI
		if f.Numeric() {
			box = ui.NumberBox(w, f, s.close, s.next)
		} else {
			box = element.Box("div", "answer",
				app.Input().ID("entry").Class("words").Type("text").Attr("autocomplete", "off").Attr("enterkeyhint", "next").
					Aria("labelledby", "asked").DataSet("entry", f.Path).
					OnInput(func(ctx app.Context, e app.Event) { ui.TypeWords(w, ctx, f, e.Get("target").Get("value").String()) },
						f.Path).
					On(ui.Entered, func(ctx app.Context, _ app.Event) { s.next(ctx) }, f.Path),
				app.Button().Type("button").Class("primary").DataSet("key", "on").Text(w.Say("Done")).
					OnClick(func(ctx app.Context, _ app.Event) { s.next(ctx) }, f.Path))
		}
		return element.Box("section", "question",
			element.Known("h2", "asked", "", "", w.SayName(f.Name)),
			app.If(guide != "", element.Text("p", "help", guide)), s.rowActions(), box)
	}
	do := func(name, words, help string, primary bool, act func(app.Context)) app.UI {
		class := "wide"
		if primary {
			class = "wide primary"
		}
		return app.Button().Type("button").Class(class).DataSet("do", name).Title(help).Text(w.Say(words)).
			OnClick(func(ctx app.Context, _ app.Event) { act(ctx) }, name)
	}
	var steps []app.UI
	switch run.Step {
	case ground.RunBackFirst:
		steps = append(steps,
			element.Text("p", "help",
				w.Say("Stand the staff on a point that keeps its level and can be found again, and set up the level about half-way.")),
			do("begin", "Read the first backsight", "", true, s.begin))
	case ground.RunTurnFore:
		steps = append(steps, element.Text("p", "error", w.Say("The staff was not read from the level's old place: the run is cut here.")),
			do("turn-fore", "Book the foresight of this change point", "", true,
				func(ctx app.Context) { s.askLast(ctx, "fore") }))
	default:
		done := run.Step == ground.RunDone
		if done {
			steps = append(steps, element.Text("p", "help", w.Say("The page ends on a foresight. To go on, carry the level from that point.")),
				do("turn", "Go on: set up again and read the same point", "", false,
					func(ctx app.Context) { s.askLast(ctx, "back") }),
				do("known", "Known level of the last point", "", !s.closedKnown(),
					func(ctx app.Context) { s.ask(ctx, survey.GroundLevelsClose) }))
		} else {
			steps = append(steps, do("point", "Read another point", "", true,
				func(ctx app.Context) { s.add(ctx, "intermediate") }),
				do("turn", "Move the level: change point", "", false, func(ctx app.Context) { s.add(ctx, "fore") }),
				do("close", "Close: last foresight", "", false, func(ctx app.Context) { s.add(ctx, "fore") }))
		}
		steps = append(steps, do("remove", "Take the last row away", "", false, s.removeLast))
	}
	steps = append(steps, do("start", "Level of the first point", "", false,
		func(ctx app.Context) { s.ask(ctx, survey.GroundLevelsStart) }))
	return element.Box("section", "list", steps...)
}

// rowActions are what can be done with the row of the cell in hand.
func (s *levelRunScreen) rowActions() app.UI {
	row, _, ok := editing.BookCell(s.field)
	if !ok || row >= len(s.w.Doc.Survey.Ground.Levels.Book) {
		return app.Text("")
	}
	name := s.w.Doc.Survey.Ground.Levels.Book[row].Station
	if name == "" {
		name = strconv.Itoa(row + 1)
	}
	button := func(do, words, spoken string, act func(ctx app.Context)) app.UI {
		return app.Button().Type("button").Class("switch").DataSet("do", do).Aria("label", spoken).Text(words).
			OnClick(func(ctx app.Context, _ app.Event) { act(ctx) }, do, row)
	}
	return element.Box("div", "switches",
		button("insert-row", s.w.Say("Row before"), s.w.SayWith("Row before {0}", name),
			func(ctx app.Context) { s.insert(ctx, row) }),
		button("remove-row", s.w.Say("Remove row"), s.w.SayWith("Remove row {0}", name),
			func(ctx app.Context) { s.remove(ctx, row) }),
	)
}

// insert rules a row that was forgotten, before another.
func (s *levelRunScreen) insert(ctx app.Context, row int) {
	w := s.w
	if len(w.Doc.Survey.Ground.Levels.Book) >= survey.MaxReadings {
		return
	}
	e, err := storage.InsertEntry(w.Doc, "Row of the level book", survey.GroundLevelsBook, row, survey.BookRow{})
	w.Commit(ctx, e, err)
	s.ask(ctx, editing.LevelBook+strconv.Itoa(row)+".intermediate")
}

// remove takes any row away; undo brings it back where it stood.
func (s *levelRunScreen) remove(ctx app.Context, row int) {
	e, err := storage.RemoveEntry(s.w.Doc, "Remove a row", survey.GroundLevelsBook, row)
	s.w.Commit(ctx, e, err)
	s.close(ctx)
}

func (s *levelRunScreen) closedKnown() bool { return s.w.Doc.Survey.Ground.Levels.Close.Known() }

// guide says what to do with staff and level for the cell in hand.
func (s *levelRunScreen) guide() string {
	switch s.field[strings.LastIndex(s.field, ".")+1:] {
	case "back":
		if s.field == editing.LevelBook+"0.back" {
			return s.w.Say("Staff on the known point. Bubble in the middle, staff upright.")
		}
		return s.w.Say("Leave the staff exactly where it is. Set the level up again and read the same point.")
	case "fore":
		return s.w.Say("Last reading before the level moves: stand the staff on something hard, and leave it there for the next backsight.")
	case "along":
		return s.w.Say("Where the staff stands, from the latch post. Leave it empty for a point that only carries the level.")
	}
	return ""
}

func (s *levelRunScreen) begin(ctx app.Context) {
	w := s.w
	if w.Doc.Survey.Ground.Levels.Taken == "" {
		e, err := storage.SetWords(w.Doc, survey.GroundLevelsTaken, survey.LevelsByStaff)
		w.Commit(ctx, e, err)
	}
	if len(w.Doc.Survey.Ground.Levels.Book) == 0 {
		s.add(ctx, "back")
		return
	}
	s.ask(ctx, editing.LevelBook+"0.back")
}

// add rules a new row and asks for its first reading.
func (s *levelRunScreen) add(ctx app.Context, column string) {
	w := s.w
	n := len(w.Doc.Survey.Ground.Levels.Book)
	if n >= survey.MaxReadings {
		return
	}
	e, err := storage.AddEntry(w.Doc, "Row of the level book", survey.GroundLevelsBook, survey.BookRow{})
	w.Commit(ctx, e, err)
	s.ask(ctx, editing.LevelBook+strconv.Itoa(n)+"."+column)
}

func (s *levelRunScreen) askLast(ctx app.Context, column string) {
	if n := len(s.w.Doc.Survey.Ground.Levels.Book); n > 0 {
		s.ask(ctx, editing.LevelBook+strconv.Itoa(n-1)+"."+column)
	}
}

func (s *levelRunScreen) removeLast(ctx app.Context) {
	w := s.w
	if n := len(w.Doc.Survey.Ground.Levels.Book); n > 0 {
		e, err := storage.RemoveEntry(w.Doc, "Remove a row", survey.GroundLevelsBook, n-1)
		w.Commit(ctx, e, err)
	}
	s.close(ctx)
}

// next goes from a reading to where it was taken, and from there on.
func (s *levelRunScreen) next(ctx app.Context) {
	row, column, ok := editing.BookCell(s.field)
	if ok && (column == "intermediate" || column == "fore") && !s.w.Doc.Survey.Ground.Levels.Book[row].Along.Known() {
		s.ask(ctx, editing.LevelBook+strconv.Itoa(row)+".along")
		return
	}
	s.close(ctx)
}

func (s *levelRunScreen) close(ctx app.Context) {
	s.field = ""
	s.w.Refresh(ctx)
}
