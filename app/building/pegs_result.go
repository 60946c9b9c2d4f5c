package building

import (
	"cmp"
	"math"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/engine/pegs"
)

// verdictSigns stand beside a peg's name on its button.
var verdictSigns = map[pegs.Verdict]string{pegs.Within: "✓", pegs.Off: "!", pegs.Mirrored: "!", pegs.Swapped: "!", pegs.Gone: "!"}

// verdictClasses are how a verdict is written.
var verdictClasses = map[pegs.Verdict]string{pegs.Within: "says-sound", pegs.Off: "says-stop", pegs.Mirrored: "says-stop",
	pegs.Swapped: "says-stop", pegs.Gone: "says-stop"}

// pegButtons are the pegs as buttons, for those who would rather not aim.
func (s *pegsScreen) pegButtons() app.UI {
	return element.Acting("div", "switches pegs-in-row", "group", s.w.Say("Pegs"), app.Range(s.marks).Slice(func(i int) app.UI {
		key := s.marks[i].Key
		name, said := s.name(key), s.w.SayWith("Peg {0}, {1}", s.name(key), s.w.SayName(s.marks[i].Of))
		if s.report != nil {
			if q := s.report.Peg(key); q != nil {
				sign, settled := verdictSigns[q.Verdict]
				if !settled {
					sign = "…"
				}
				name += " " + sign
				said += ": " + s.w.Sentence(q.Words)
			}
		}
		on := key == s.from || key == s.to
		b := app.Button().Type("button").Class("switch").DataSet("peg", s.marks[i].Name).Aria("pressed", strconv.FormatBool(on)).
			Aria("label", said).Text(name).OnClick(func(ctx app.Context, _ app.Event) { s.pick(ctx, key) }, key)
		if on {
			b = b.Class("here")
		}
		return b
	}))
}

// changed says what the plan did since pegs were taped.
func (s *pegsScreen) changed() app.UI {
	if s.report == nil || len(s.report.Changed) == 0 {
		return app.Text("")
	}
	return app.Elem("div").Class("told").ID("plan-changed").Body(app.Range(s.report.Changed).Slice(func(i int) app.UI {
		return element.Text("p", "says-mind", s.w.Sentence(s.report.Changed[i]))
	}))
}

// verdicts lists the pegs that were taped and what to do with each: those that are to
// be moved first.
func (s *pegsScreen) verdicts() app.UI {
	w := s.w
	if s.report == nil {
		return app.Text("")
	}
	var rows []app.UI
	for _, first := range []bool{true, false} {
		for i := range s.report.Pegs {
			if q := &s.report.Pegs[i]; (verdictClasses[q.Verdict] == "says-stop") == first {
				rows = append(rows, s.verdict(q))
			}
		}
	}
	return element.Box("section", "", element.Text("h2", "", w.Say("How the pegs stand")), element.Box("ul", "plain verdicts", rows...))
}

func (s *pegsScreen) verdict(q *pegs.Peg) app.UI {
	w := s.w
	title := w.SayWith("Peg {0}", q.Name)
	if q.Of != "" {
		title = w.SayWith("Peg {0} · {1}", q.Name, w.SayName(q.Of))
	}
	key := q.Key
	return app.Elem("li").DataSet("verdict", q.Name).DataSet("is", string(q.Verdict)).Body(
		element.Button("row-side", title, func(ctx app.Context, _ app.Event) {
			s.from, s.to = "", ""
			s.pick(ctx, key)
		}, key),
		app.If(!q.Move.Empty(), element.Text("p", "value", w.Sentence(q.Move))),
		element.Text("p", verdictClass(q.Verdict), w.Sentence(q.Words)))
}

func verdictClass(v pegs.Verdict) string { return cmp.Or(verdictClasses[v], "says-mind") }

// tapes lists the tapes and how each sits among the others.
func (s *pegsScreen) tapes() app.UI {
	w := s.w
	if s.report == nil || len(s.report.Tapes) == 0 {
		return app.Text("")
	}
	var rows []app.UI
	for i := range s.report.Tapes {
		rows = append(rows, s.tapeRow(&s.report.Tapes[i])...)
	}
	return element.Box("section", "", element.Text("h2", "", w.Say("Tapes")),
		table(w.Say("Tapes"), false, []string{w.Say("Tape"), w.Say("Level"), w.Say("Misses by")}, rows),
		element.Text("p", "quiet", w.SayCount(s.report.Spare, "One tape to spare.", "{0} tapes to spare.")))
}

func (s *pegsScreen) tapeRow(t *pegs.Tape) []app.UI {
	w := s.w
	class, missed := "", "–"
	if t.Used || t.Suspect {
		missed = w.Decimal(math.Round(t.Residual)+0, 0)
	}
	if !t.Words.Empty() {
		class = "suspect"
	}
	from, to := t.From, t.To
	if pegs.EndName(from) != "" {
		from, to = to, from
	}
	rows := []app.UI{app.Elem("tr").Class(class).DataSet("tape", w.SayName(t.Name)).Body(
		element.Box("td", "", element.Button("row-side", w.SayName(t.Name), func(ctx app.Context, _ app.Event) {
			s.from, s.to, s.rise = from, to, false
			s.w.Refresh(ctx)
			ui.FocusEntry(s.w)
			app.Window().ScrollToID("content")
		}, from, to)),
		element.Text("td", "voice-measured", w.Length(t.Length, false)), element.Text("td", "", missed))}
	if !t.Words.Empty() || !t.Note.Empty() {
		rows = append(rows, app.Elem("tr").Class("wrapped").Body(app.Elem("td").Attr("colspan", "3").Body(s.tapeWords(t))))
	}
	return rows
}

// wrongTapes names the tapes that are wrong, before any peg is blamed: a tap takes one in
// hand, to type it again.
func (s *pegsScreen) wrongTapes() app.UI {
	if s.report == nil {
		return app.Text("")
	}
	var all []app.UI
	for i := range s.report.Tapes {
		t := &s.report.Tapes[i]
		if t.Words.Empty() {
			continue
		}
		from, to := t.From, t.To
		if pegs.EndName(from) != "" {
			from, to = to, from
		}
		all = append(all, element.Box("div", "", element.Button("row-side", s.w.SayName(t.Name),
			func(ctx app.Context, _ app.Event) { s.take(ctx, from, to) }, from, to), s.tapeWords(t)))
	}
	return app.If(len(all) > 0, app.Elem("div").ID("wrong-tapes").Class("told").Body(all...))
}
