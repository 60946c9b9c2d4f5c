package drawing

import (
	"math"
	"strconv"

	"pegpour/engine/draw"
	"pegpour/engine/geom"
	"pegpour/engine/pegs"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// SetPegsOptions choose what the drawing of the pegs as set shows.
type SetPegsOptions struct {
	SceneOptions
	// Picked are the keys of the ends of the tape in hand.
	Picked []string
	// Window is the part that is shown.
	Window draw.Box
}

// SetPegsScene draws the pegs as set beside the pegs as meant: the plan's with their
// numbers, filled where they were taped; from each of those the way to where the tapes
// put it, larger than the ground as PegScale says; and the tapes, the wrong ones bold.
func SetPegsScene(p *plan.Plan, s *survey.Survey, marks []pegs.Mark, r *pegs.Report, o SetPegsOptions) *draw.Scene {
	scene := &draw.Scene{Title: o.words("Pegs as set"), Desc: spokenPegs(r, &o.SceneOptions)}
	drawPlainSite(p, scene)
	for i := range p.Outlines {
		if u := &p.Outlines[i]; u.Concrete {
			scene.Add(draw.Region{Tag: draw.Tag{ID: u.ID, Role: draw.RoleThin, Context: true}, Outer: ringOf(u.Ring), Hatch: draw.HatchTint})
		}
	}
	at := map[string]draw.Point{survey.SetLatch: draw.Pt(0, 0), survey.SetRunBack: draw.Pt(p.Opening, 0)}
	for i := range marks {
		at[marks[i].Key] = draw.Pt(marks[i].At.X, marks[i].At.Y)
	}
	if r != nil {
		for i := range r.Pegs {
			if q := &r.Pegs[i]; q.Verdict == pegs.Gone {
				at[q.Key] = draw.Pt(q.Planned.X, q.Planned.Y)
			}
		}
	}
	drawSetTapes(scene, r, at)
	if len(o.Picked) == 2 {
		from, to := at[o.Picked[0]], at[o.Picked[1]]
		if o.Picked[1] == survey.SetFence {
			to = draw.Pt(from.X, 0)
		}
		scene.Add(draw.Line{Tag: draw.Tag{ID: "in hand", Role: draw.RoleGate, Voice: draw.VoiceMeasured}, From: from, To: to})
	}
	unit := max(1, o.Window.Width()) / 90
	if len(o.Picked) > 0 {
		if c, ok := at[o.Picked[0]]; ok {
			scene.Add(draw.Circle{Tag: draw.Tag{ID: "picked", Role: draw.RoleGate}, Centre: c, Radius: 3 * unit})
		}
	}
	larger := PegScale(r, o.Window)
	for i := range marks {
		m := &marks[i]
		var q *pegs.Peg
		if r != nil {
			q = r.Peg(m.Key)
		}
		drawMark(scene, m, q != nil)
		if q != nil && q.Placed {
			drawSetPeg(scene, q, larger, unit)
		}
	}
	return scene
}

func drawMark(scene *draw.Scene, m *pegs.Mark, taped bool) {
	tag := draw.Tag{ID: "peg." + m.Key, Role: draw.RoleNote}
	if n, err := strconv.Atoi(m.Name); err == nil {
		scene.Add(draw.Peg{Tag: tag, At: draw.Pt(m.At.X, m.At.Y), Number: n, Done: taped})
		return
	}
	scene.Add(draw.Text{Tag: tag, At: draw.Pt(m.At.X, m.At.Y), Text: m.Name})
}

// drawSetPeg draws where a peg stands: a cross, and the way there from its place.
func drawSetPeg(scene *draw.Scene, q *pegs.Peg, larger, unit float64) {
	tag := draw.Tag{ID: "set." + q.Key, Role: draw.RoleTape, Voice: draw.VoiceMeasured}
	if q.Verdict != pegs.Within && q.Verdict != pegs.Unsure {
		tag.Role, tag.Voice = draw.RoleObstruction, draw.VoicePlain
	}
	along, out := q.Along, q.Out
	if math.Hypot(along, out) < mostLarger {
		along, out = along*larger, out*larger
	}
	c := draw.Pt(q.Planned.X+along, q.Planned.Y+out)
	scene.Add(draw.Line{Tag: tag, From: draw.Pt(q.Planned.X, q.Planned.Y), To: c},
		draw.Line{Tag: tag, From: draw.Pt(c.X-unit, c.Y-unit), To: draw.Pt(c.X+unit, c.Y+unit)},
		draw.Line{Tag: tag, From: draw.Pt(c.X-unit, c.Y+unit), To: draw.Pt(c.X+unit, c.Y-unit)})
}

func drawSetTapes(scene *draw.Scene, r *pegs.Report, at map[string]draw.Point) {
	if r == nil {
		return
	}
	for i := range r.Tapes {
		t := &r.Tapes[i]
		from, okFrom := at[t.From]
		to, okTo := at[t.To]
		if t.To == survey.SetFence && okFrom {
			to, okTo = draw.Pt(from.X, 0), true
		}
		if !okFrom || !okTo || from == to {
			continue
		}
		tag := draw.Tag{ID: "tape." + strconv.Itoa(t.Index), Role: draw.RoleThin, Context: true}
		if t.Suspect || t.Tied || !t.Words.Empty() {
			tag.Role = draw.RoleObstruction
		}
		scene.Add(draw.Line{Tag: tag, From: from, To: to})
	}
}

// mostLarger is up to which deviation the way to a peg is drawn larger than it is, mm.
const mostLarger = 100.0

// PegScale is how many times larger than the ground the ways from the pegs as meant to
// those as set are drawn in a window: the longest of them takes about a ninth of its
// width.
func PegScale(r *pegs.Report, window draw.Box) float64 {
	if r == nil {
		return 1
	}
	longest := 0.0
	for i := range r.Pegs {
		q := &r.Pegs[i]
		if d := math.Hypot(q.Along, q.Out); q.Placed && d < mostLarger && window.Holds(draw.Pt(q.Planned.X, q.Planned.Y)) {
			longest = max(longest, d)
		}
	}
	want := window.Width() / 9 / max(longest, 5)
	for _, step := range []float64{50, 30, 20, 15, 10, 7, 5, 4, 3, 2} {
		if step <= want {
			return step
		}
	}
	return 1
}

// SetPegsWindow is the part that the drawing of pegs shows: about one peg, or all of
// them.
func SetPegsWindow(p *plan.Plan, marks []pegs.Mark, near bool) draw.Box {
	if near {
		return DetailWindow(p)
	}
	box := draw.EmptyBox()
	for _, q := range []geom.Point{{}, {X: p.Opening}} {
		box.Grow(draw.Pt(q.X, q.Y))
	}
	for i := range marks {
		box.Grow(draw.Pt(marks[i].At.X, marks[i].At.Y))
	}
	margin := box.Width() / 25
	return draw.Box{Min: draw.Pt(box.Min.X-margin, box.Min.Y-2*margin), Max: draw.Pt(box.Max.X+margin, box.Max.Y+2*margin)}
}

// spokenPegs says in words what the drawing of the pegs shows.
func spokenPegs(r *pegs.Report, o *SceneOptions) string {
	if r == nil {
		r = &pegs.Report{}
	}
	all := []text.Text{text.Say("Pegs taped: {0}.", text.Number(float64(len(r.Pegs))))}
	for i := range r.Pegs {
		q := &r.Pegs[i]
		all = append(all, text.Say("Peg {0}: {1}", text.Word(text.TypedName(q.Name)), text.List(q.Words)))
		if !q.Move.Empty() {
			all = append(all, q.Move)
		}
	}
	return o.sentences(all)
}
