package building

import (
	"math"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/pegs"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// pegsScreen is the pegs as set: tapes as they are taken, and what they say of each
// peg.
type pegsScreen struct {
	app.Compo
	w *editing.Site

	from, to string // keys of the ends of the tape in hand; "" for none
	rise     bool   // its slope is asked
	near     bool   // the drawing shows pad and post
	sheet    *draw.Sheet

	seal   string // of the design for which these hold
	marks  []pegs.Mark
	report *pegs.Report
}

func newPegsScreen(w *editing.Site) *pegsScreen { return &pegsScreen{w: w} }

// OnNav implements app.Navigator.
func (s *pegsScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *pegsScreen) OnDismount() { s.w.Leave() }

// judge asks the engine again where the design is another one.
func (s *pegsScreen) judge() {
	w := s.w
	if s.seal == w.Seal {
		return
	}
	taken := w.Survey()
	s.seal, s.marks, s.report = w.Seal, pegs.Marks(w.Plan(), &w.Practice), pegs.Judge(&taken, w.Plan(), &w.Practice)
}

// Render implements app.Composer.
func (s *pegsScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	s.judge()
	if len(s.marks) == 0 {
		return ui.SiteFrame(w, "more tool", element.Text("h2", "", w.Say("Pegs as set")),
			element.Text("p", "quiet", w.Say("Nothing to peg.")))
	}
	return ui.SiteFrame(w, "more tool",
		s.sketch(),
		s.changed(),
		s.asked(),
		s.pegButtons(),
		element.Box("div", "switches",
			s.windowButton(false, "Whole"), s.windowButton(true, "Pad and post")),
		element.Text("p", "quiet", s.caption()),
		s.verdicts(),
		s.tapes(),
		cautions(w, "services"),
	)
}

func (s *pegsScreen) set() *survey.SetPegs { return &s.w.Doc.Survey.Build.Pegs }

func (s *pegsScreen) windowButton(near bool, name string) app.UI {
	b := app.Button().Type("button").Class("switch").Aria("pressed", strconv.FormatBool(s.near == near)).
		Text(s.w.Say(name)).OnClick(func(app.Context, app.Event) { s.near = near }, near)
	if s.near == near {
		b = b.Class("here")
	}
	return b
}

// sketch draws the pegs; a tap takes one, or a post, as the end of a tape.
func (s *pegsScreen) sketch() app.UI {
	w := s.w
	view := draw.Phone(window.Width(), 150)
	view.Mirror, view.Window = w.Plan().Mirrored(), drawing.SetPegsWindow(w.Plan(), s.marks, s.near)
	options := drawing.SetPegsOptions{SceneOptions: w.SceneOptions(false), Window: view.Window}
	if s.from != "" {
		options.Picked = append(options.Picked, s.from)
	}
	if s.to != "" {
		options.Picked = append(options.Picked, s.to)
	}
	sheet, err := draw.Layout(drawing.SetPegsScene(w.Plan(), &w.Doc.Survey, s.marks, s.report, options), view)
	if err != nil {
		return element.Text("p", "error", w.ErrorWords(err))
	}
	s.sheet = sheet
	return element.Box("figure", "drawing sketch",
		app.Elem("div").ID("sketch").Class("paper").OnClick(s.tap).
			Body(app.Raw("<div>"+string(draw.SVG(sheet, draw.Options{Screen: true, Prefix: "sketch"}))+"</div>")),
	)
}

func (s *pegsScreen) caption() string {
	w := s.w
	if k := drawing.PegScale(s.report, drawing.SetPegsWindow(w.Plan(), s.marks, s.near)); s.report != nil && k > 1 {
		return w.SayWith("A cross is where the tapes put a peg: its way from the plan's place is drawn larger by {0}.", w.Decimal(k, 0))
	}
	return w.Say("Tap a peg, then what it was taped to. Pegs and posts on the drawing can be tapped too.")
}

// tap takes the peg or the post under the finger.
func (s *pegsScreen) tap(ctx app.Context, e app.Event) {
	if s.sheet == nil {
		return
	}
	at := ui.Tapped("sketch", s.sheet, e)
	best, reach := "", 26.0
	try := func(key string, x, y float64) {
		q := s.sheet.ToSheet(draw.Pt(x, y))
		if d := math.Hypot(q.X-at.X, q.Y-at.Y); d < reach {
			best, reach = key, d
		}
	}
	for i := range s.marks {
		try(s.marks[i].Key, s.marks[i].At.X, s.marks[i].At.Y)
	}
	for _, key := range []string{survey.SetLatch, survey.SetRunBack} {
		if p, ok := pegs.EndAt(s.w.Plan(), key); ok {
			try(key, p.X, p.Y)
		}
	}
	if best != "" {
		s.pick(ctx, best)
	}
}

// pick takes an end: a peg first, then what it was taped to. A peg alone gets the tape
// that it lacks.
func (s *pegsScreen) pick(ctx app.Context, key string) {
	switch {
	case key == s.from:
		s.from, s.to = "", ""
	case s.from == "" && pegs.EndName(key) != "":
		return // nothing is taped from a post but to a peg
	case s.from == "":
		s.take(ctx, key, "")
		return
	default:
		s.take(ctx, s.from, key)
		return
	}
	s.w.Refresh(ctx)
}

// take takes a tape into hand; with no other end given, the one that the peg lacks.
func (s *pegsScreen) take(ctx app.Context, from, to string) {
	s.rise = false
	if to == "" {
		next, ok := pegs.NextTape(s.w.Plan(), s.set(), s.marks, s.report, from)
		if ok && next[0] == from {
			to = next[1]
		}
	}
	s.from, s.to = from, to
	if to != "" {
		s.begin(ctx)
	}
	s.w.Refresh(ctx)
	ui.FocusEntry(s.w)
}

// begin has an entry for the tape in hand: one that was begun and never read is used
// again. The places of then are kept with the first tape of each peg.
func (s *pegsScreen) begin(ctx app.Context) {
	w := s.w
	if pegs.Taped(s.set(), s.from, s.to) >= 0 {
		return
	}
	var edits []storage.Edit
	add := func(e storage.Edit, err error) bool {
		if err != nil {
			w.Commit(ctx, storage.Edit{}, err)
			return false
		}
		edits = append(edits, e)
		return true
	}
	for _, key := range []string{s.from, s.to} {
		if !s.keepPlace(key, add) {
			return
		}
	}
	label := "Tape between pegs"
	if k := s.unread(); k >= 0 {
		for path, key := range map[survey.Path]string{survey.SetTapeFrom.At(k): s.from, survey.SetTapeTo.At(k): s.to} {
			if !add(storage.SetWords(w.Doc, string(path), key)) {
				return
			}
		}
	} else if len(s.set().Tapes) >= survey.MaxSetTapes ||
		!add(storage.AddEntry(w.Doc, label, survey.SetTapeList, survey.SetTape{From: s.from, To: s.to})) {
		return
	}
	w.Commit(ctx, storage.Together(label, edits...), nil)
}

// unread is a tape that was begun and has neither a reading nor anything typed; −1 for
// none.
func (s *pegsScreen) unread() int {
	for i := range s.set().Tapes {
		t := &s.set().Tapes[i]
		_, length := s.w.Draft(string(survey.SetTapeLength.At(i)))
		_, rise := s.w.Draft(string(survey.SetTapeRise.At(i)))
		if !t.Length.Known() && !t.Rise.Known() && !length && !rise {
			return i
		}
	}
	return -1
}

// keepPlace keeps where the plan has a peg, unless a tape was read to it before.
func (s *pegsScreen) keepPlace(key string, add func(storage.Edit, error) bool) bool {
	m := pegs.Find(s.marks, key)
	if m == nil {
		return true
	}
	along, offset := survey.Measured(math.Round(m.At.X*10)/10, survey.ByEstimate), survey.Measured(math.Round(m.At.Y*10)/10, survey.ByEstimate)
	i := pegs.Stored(s.set(), key)
	if i < 0 {
		return len(s.set().Pegs) >= survey.MaxSetPegs || add(storage.AddEntry(s.w.Doc, "Peg as set", survey.SetPegList,
			survey.SetPeg{Mark: key, Name: pegs.Label(s.set(), s.marks, key), Along: along, Offset: offset}))
	}
	for k := range s.set().Tapes {
		if t := &s.set().Tapes[k]; (t.From == key || t.To == key) && t.Length.Known() {
			return true
		}
	}
	return add(storage.SetValue(s.w.Doc, string(survey.SetPegAlong.At(i)), along)) &&
		add(storage.SetValue(s.w.Doc, string(survey.SetPegOffset.At(i)), offset))
}

// next goes on to the tape that comes next, back puts down what is in hand.
func (s *pegsScreen) next(ctx app.Context) {
	s.w.Refresh(ctx)
	s.judge()
	next, ok := pegs.NextTape(s.w.Plan(), s.set(), s.marks, s.report, s.from)
	if !ok || s.report == nil || next == [2]string{s.from, s.to} {
		s.back(ctx)
		return
	}
	s.take(ctx, next[0], next[1])
}

func (s *pegsScreen) back(ctx app.Context) {
	s.from, s.to = "", ""
	s.w.Refresh(ctx)
}

// name is what an end is called.
func (s *pegsScreen) name(key string) string {
	if name := pegs.EndName(key); name != "" {
		return s.w.SayName(name)
	}
	return pegs.Label(s.set(), s.marks, key)
}

// asked is the tape in hand, or what to do.
func (s *pegsScreen) asked() app.UI {
	w := s.w
	k := -1
	if s.to != "" {
		k = pegs.Taped(s.set(), s.from, s.to)
	}
	switch {
	case k < 0 && s.from != "":
		return s.pegInHand()
	case k < 0:
		return s.idle()
	}
	path := survey.SetTapeLength.At(k)
	asked := w.SayWith("{0} – {1}: as the tape says", s.name(s.from), s.name(s.to))
	if s.rise {
		path, asked = survey.SetTapeRise.At(k), w.SayWith("{0} – {1}: one end higher by", s.name(s.from), s.name(s.to))
	}
	return element.Region("section", "question", w.Say("The question"),
		element.Known("h2", "asked", "", "", asked),
		s.saidOfTape(k),
		ui.NumberBox(w, survey.FieldOf(path), s.back, s.next),
		s.ends(),
		element.Box("div", "switches",
			s.riseButton(),
			element.Doing("switch", "put-down", w.Say("Put down"), func(ctx app.Context, _ app.Event) { s.back(ctx) }),
			element.Doing("switch", "remove", w.Say("Remove"), func(ctx app.Context, _ app.Event) { s.remove(ctx, k) }, k)),
	)
}

// pegInHand is a peg that was taken, and the ends to which it may have been taped.
func (s *pegsScreen) pegInHand() app.UI {
	w := s.w
	said := []app.UI{element.Known("h2", "peg-in-hand", "asked", "", w.SayWith("Peg {0}", s.name(s.from)))}
	if s.report != nil {
		if q := s.report.Peg(s.from); q != nil {
			said = append(said, element.Text("p", "value", w.Sentence(q.Move)), element.Text("p", verdictClass(q.Verdict), w.Sentence(q.Words)))
		}
	}
	return element.Box("section", "told", append(said,
		element.Text("p", "help", w.Say("Tap the other end of the tape.")), s.ends(),
		element.Doing("switch", "put-down", w.Say("Put down"), func(ctx app.Context, _ app.Event) { s.back(ctx) }))...)
}

// ends are those to which every peg can be taped.
func (s *pegsScreen) ends() app.UI {
	return element.Acting("div", "switches", "group", s.w.Say("Taped to"),
		s.endButton(survey.SetLatch), s.endButton(survey.SetRunBack), s.endButton(survey.SetFence))
}

// saidOfTape is what is wrong with the tape in hand, if anything.
func (s *pegsScreen) saidOfTape(k int) app.UI {
	if s.report != nil {
		for i := range s.report.Tapes {
			if t := &s.report.Tapes[i]; t.Index == k {
				return s.tapeWords(t)
			}
		}
	}
	return app.Text("")
}

func (s *pegsScreen) tapeWords(t *pegs.Tape) app.UI {
	switch {
	case !t.Words.Empty():
		return element.Text("p", "says-stop", s.w.Sentence(t.Words))
	case !t.Note.Empty():
		return element.Text("p", "says-mind", s.w.Sentence(t.Note))
	}
	return app.Text("")
}

// idle says what to do while no tape is in hand.
func (s *pegsScreen) idle() app.UI {
	w := s.w
	words := w.Say("Tape each peg from both posts, and square to a string along the back of the posts. Tapes from peg to peg check them.")
	problem := ""
	if s.report != nil {
		words, problem = s.summary(), w.Sentence(s.report.Problem)
	}
	next, ok := pegs.NextTape(w.Plan(), s.set(), s.marks, s.report, s.from)
	return element.Box("section", "question",
		element.Known("p", "pegs-say", "help", "status", words),
		app.If(problem != "", element.Text("p", "error", problem)),
		s.wrongTapes(),
		app.If(ok, element.Doing("primary", "next-tape", w.SayWith("Tape next: {0} – {1}", s.name(next[0]), s.name(next[1])),
			func(ctx app.Context, _ app.Event) { s.take(ctx, next[0], next[1]) }, next[0], next[1])),
	)
}

// summary counts the pegs by what the tapes say.
func (s *pegsScreen) summary() string {
	w, r := s.w, s.report
	right, off := r.Count(pegs.Within), r.Count(pegs.Off)+r.Count(pegs.Mirrored)+r.Count(pegs.Swapped)+r.Count(pegs.Gone)
	all := []string{w.SayCount(right, "One peg stands right.", "{0} pegs stand right.")}
	if off > 0 {
		all = append(all, w.SayCount(off, "One is off.", "{0} are off."))
	}
	if open := len(r.Pegs) - right - off; open > 0 {
		all = append(all, w.SayCount(open, "One cannot be judged yet.", "{0} cannot be judged yet."))
	}
	return language.Sentences(all...)
}

func (s *pegsScreen) endButton(key string) app.UI {
	b := app.Button().Type("button").Class("switch").DataSet("end", key).Aria("pressed", strconv.FormatBool(s.to == key)).
		Text(s.name(key)).OnClick(func(ctx app.Context, _ app.Event) { s.take(ctx, s.from, key) }, key, s.from)
	if s.to == key {
		b = b.Class("here")
	}
	return b
}

func (s *pegsScreen) riseButton() app.UI {
	b := app.Button().Type("button").Class("switch").Aria("pressed", strconv.FormatBool(s.rise)).
		Aria("label", s.w.Say("Slope: one end higher by")).Text(s.w.Say("Slope")).
		OnClick(func(ctx app.Context, _ app.Event) {
			s.rise = !s.rise
			ui.FocusEntry(s.w)
		})
	if s.rise {
		b = b.Class("here")
	}
	return b
}

func (s *pegsScreen) remove(ctx app.Context, k int) {
	e, err := storage.RemoveEntry(s.w.Doc, "Remove a tape", survey.SetTapeList, k)
	s.to = ""
	s.w.Commit(ctx, e, err)
}
