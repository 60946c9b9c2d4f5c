package pegs

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/tape"
	"pegpour/engine/text"
)

// at95 is how many standard uncertainties hold 95 % in one direction. Normal
// distribution.
const at95 = 1.959964

// near is how close to another peg's place a peg stands that is taken for it, mm: two
// pegs changed for one another stand there as well as pegs are driven. Common practice,
// no published source.
const near = 60.0

// places writes down where each peg stands and what that means.
func (j *judgement) places() {
	moved, most := 0, 0.0
	for _, key := range j.order {
		q := Peg{Key: key, Name: Label(j.set, j.marks, key), Planned: j.wanted(key), Verdict: Loose}
		m := Find(j.marks, key)
		if m != nil {
			q.Of, q.Tolerance = m.Of, m.Tolerance
			if d := math.Hypot(m.At.X-j.first[key].X, m.At.Y-j.first[key].Y); d > plan.Tolerance {
				moved++
				most = max(most, d)
			}
		} else {
			q.Verdict = Gone
			q.Words = text.Say("The plan has no such peg any more: pull it out.")
		}
		if j.result != nil && !j.loose[key] {
			if p, ok := j.result.Peg(key); ok {
				q.put(&p)
			}
		}
		j.report.Pegs = append(j.report.Pegs, q)
	}
	if moved > 0 {
		j.report.Changed = append(j.report.Changed, text.Counted(moved,
			"The plan changed since one peg was taped: its place moved by {1}. It is judged by the plan of now.",
			"The plan changed since {0} pegs were taped: their places moved by up to {1}. They are judged by the plan of now.",
			text.MM(most)))
	}
	for i := range j.report.Pegs {
		q := &j.report.Pegs[i]
		if m := Find(j.marks, q.Key); m != nil && m.Name != q.Name {
			j.report.Changed = append(j.report.Changed, text.Say("Peg {0} is peg {1} in the plan of now.",
				text.Word(text.TypedName(q.Name)), text.Word(text.TypedName(m.Name))))
		}
	}
	for i := range j.report.Pegs {
		if q := &j.report.Pegs[i]; q.Verdict != Gone {
			j.judge(q)
		}
	}
}

// put takes over where the tapes put a peg.
func (q *Peg) put(p *tape.Position) {
	q.Placed, q.At = true, geom.Point{X: p.X, Y: p.Y}
	q.Along, q.Out = p.X-q.Planned.X, p.Y-q.Planned.Y
	q.SigmaAlong, q.SigmaOut = math.Sqrt(max(0, p.Covariance[0][0])), math.Sqrt(max(0, p.Covariance[1][1]))
	e := p.Ellipse.At95()
	q.Major95, q.Minor95, q.Direction = e.Major, e.Minor, e.Direction
	q.Range = at95 * p.Ellipse.Major
}

// off is how far a place is from a peg's own, and the 95 % range of that.
func (q *Peg) off(p *tape.Position) (d, within float64) {
	dx, dy := p.X-q.Planned.X, p.Y-q.Planned.Y
	d = math.Hypot(dx, dy)
	if d < 1e-6 {
		return d, at95 * p.Ellipse.Major
	}
	c := p.Covariance
	v := (dx*dx*c[0][0] + 2*dx*dy*c[0][1] + dy*dy*c[1][1]) / (d * d)
	return d, at95 * math.Sqrt(max(0, v))
}

// judge finds the verdict on a peg.
func (j *judgement) judge(q *Peg) {
	if !q.Placed {
		j.sayLoose(q)
		return
	}
	p, _ := j.result.Peg(q.Key)
	d, within := q.off(&p)
	other := j.takenFor(q, d)
	mirrored := math.Hypot(p.X-q.Planned.X, p.Y+q.Planned.Y)
	switch wrong := j.explains(q); {
	case j.tied[q.Key]:
		q.Verdict = Doubted
		q.Words = text.Say("Cannot be judged: one of its tapes is wrong, and they do not tell which. Tape those again, and one more.")
	case other != nil:
		q.Verdict = Swapped
		q.Words = text.Say("It stands where peg {0} belongs, and that one here.", text.Word(text.TypedName(other.Name)))
		q.Move = text.Say("Change the two pegs for one another, or their names.")
	case d > q.Tolerance && q.Planned.Y > 2*q.Tolerance && p.Y < 0 && -p.Y > at95*q.SigmaOut && mirrored < d/2:
		q.Verdict = Mirrored
		q.Words = text.Say("It stands on the street side of the fence line; its place is as far out on the other side.")
		q.Move = text.Say("Set it anew on the side of the property.")
	case d <= q.Tolerance && q.Range <= q.Tolerance:
		q.Verdict = Within
		q.Words = text.Say("It stands right: {0} ± {1} off, {2} allowed.", text.MM(d), text.MM(math.Ceil(q.Range)), text.MM(q.Tolerance))
	case d > q.Tolerance && within < d && wrong == nil:
		q.Verdict = Off
		q.Words = text.Say("It stands {0} ± {1} off, {2} allowed.", text.MM(d), text.MM(math.Ceil(within)), text.MM(q.Tolerance))
		q.Move = move(-q.Along, -q.Out, at95*q.SigmaAlong, at95*q.SigmaOut)
	case d > q.Tolerance && within < d:
		q.Verdict = PegOrTape
		q.Words = text.Say("Cannot be judged: it stands {0} off, or the tape {1} is wrong. One more tape tells.", text.MM(d),
			text.Word(wrong.Name))
	case d <= q.Tolerance && j.tapesAt(q.Key) >= enough:
		q.Verdict = Unsure
		q.Words = text.Say("No tape tells it finer: {0} off, known to ± {1}; {2} allowed. Set it by a template.", text.MM(d), text.MM(math.Ceil(q.Range)),
			text.MM(q.Tolerance))
	default:
		q.Verdict = Unsure
		q.Words = text.Say("Cannot be told yet: {0} off, known to ± {1} only; {2} allowed.", text.MM(d), text.MM(math.Ceil(max(within, q.Range))),
			text.MM(q.Tolerance))
	}
}

// explains is a tape of a peg that may be wrong instead of the peg: without it the peg
// would be within, or nothing would fix it, or not tell it from its place.
func (j *judgement) explains(q *Peg) *Tape {
	for i, k := range j.used {
		t := &j.report.Tapes[k]
		if t.From != q.Key && t.To != q.Key && !t.Tied {
			continue
		}
		p, ok := j.result.Without(i, q.Key)
		if !ok {
			return t
		}
		if d, within := q.off(&p); d <= q.Tolerance || d <= within {
			return t
		}
	}
	return nil
}

// takenFor is the peg in whose place q stands while that one stands in q's; nil for
// none.
func (j *judgement) takenFor(q *Peg, d float64) *Peg {
	for i := range j.report.Pegs {
		o := &j.report.Pegs[i]
		if o == q || !o.Placed || o.Verdict == Gone {
			continue
		}
		apart := math.Hypot(o.Planned.X-q.Planned.X, o.Planned.Y-q.Planned.Y)
		reach := min(near, apart/3)
		if d > reach && math.Hypot(q.At.X-o.Planned.X, q.At.Y-o.Planned.Y) <= reach &&
			math.Hypot(o.At.X-q.Planned.X, o.At.Y-q.Planned.Y) <= reach {
			return o
		}
	}
	return nil
}

// enough is the number of tapes to a peg after which none more is proposed: each new one
// makes it surer by less than a tenth. Common practice, no published source.
const enough = 6

// tapesAt is the number of tapes to a peg that count.
func (j *judgement) tapesAt(key string) int {
	n := 0
	for k := range j.report.Tapes {
		if t := &j.report.Tapes[k]; (t.From == key || t.To == key) && t.Words.Empty() {
			n++
		}
	}
	return n
}

// sayLoose says of a peg that its tapes do not fix what is missing.
func (j *judgement) sayLoose(q *Peg) {
	switch n := j.tapesAt(q.Key); {
	case n == 0:
		q.Words = text.Say("Cannot be judged: none of its tapes can be used.")
	case n == 1:
		q.Words = text.Say("Cannot be judged: one tape alone fixes no peg. Take another from the other side.")
	default:
		q.Words = text.Say("Cannot be judged: its tapes run along one line and say nothing across it. Take one square to them.")
	}
}

// move is how to move a peg, in words of the place: along towards the run-back and out
// into the property, mm. What is no more than how sure it is known is not told, but the
// larger of the two is.
func move(along, out, sureAlong, sureOut float64) text.Text {
	a, o := math.Abs(along), math.Abs(out)
	tellAlong, tellOut := math.Round(a) >= 1 && a > sureAlong, math.Round(o) >= 1 && o > sureOut
	if !tellAlong && !tellOut {
		tellAlong, tellOut = a >= o, o > a
	}
	switch {
	case tellAlong && tellOut && out < 0 && along < 0:
		return text.Say("Move it {0} towards the street, {1} towards the latch post.", text.MM(o), text.MM(a))
	case tellAlong && tellOut && out < 0:
		return text.Say("Move it {0} towards the street, {1} towards the run-back.", text.MM(o), text.MM(a))
	case tellAlong && tellOut && along < 0:
		return text.Say("Move it {0} into the property, {1} towards the latch post.", text.MM(o), text.MM(a))
	case tellAlong && tellOut:
		return text.Say("Move it {0} into the property, {1} towards the run-back.", text.MM(o), text.MM(a))
	case tellOut && out < 0:
		return text.Say("Move it {0} towards the street.", text.MM(o))
	case tellOut:
		return text.Say("Move it {0} into the property.", text.MM(o))
	case along < 0:
		return text.Say("Move it {0} towards the latch post.", text.MM(a))
	}
	return text.Say("Move it {0} towards the run-back.", text.MM(a))
}

// next proposes the tape that would tell most of the pegs that are not settled.
func (j *judgement) next() {
	net, at, _ := j.network(j.leftOut)
	open := map[string]bool{}
	have := map[string]bool{}
	for i := range net.Pegs {
		have[net.Pegs[i].Name] = true
		if q := j.report.Peg(net.Pegs[i].Name); q != nil && q.Placed {
			at[i] = [2]float64{q.At.X, q.At.Y}
		}
	}
	unsettled := false
	for _, key := range j.order {
		open[key] = !j.report.Peg(key).Verdict.Settled() && j.tapesAt(key) < enough
		unsettled = unsettled || open[key]
		if !have[key] { // not fixed: it stands where it was thought to
			net.Pegs = append(net.Pegs, tape.Peg{Name: key})
			at = append(at, [2]float64{j.first[key].X, j.first[key].Y})
			for k := range j.report.Tapes {
				t := &j.report.Tapes[k]
				other, mine := t.To, t.From == key
				if t.To == key {
					other, mine = t.From, true
				}
				if other == survey.SetFence {
					other = atString + key
				}
				if mine && t.Words.Empty() {
					net.Tapes = append(net.Tapes, tape.Taped{From: key, To: other, Length: 1, Sigma: max(t.Sigma, 0.01)})
				}
			}
		}
	}
	if !unsettled {
		return
	}
	for i, key := range j.order {
		if !have[atString+key] {
			net.Pegs = append(net.Pegs, tape.Peg{Name: atString + key, Known: true})
			at = append(at, [2]float64{j.first[key].X, -farBehind(i)})
		}
	}
	end := func(i int) (key, of string) {
		name := net.Pegs[i].Name
		if len(name) > len(atString) && name[:len(atString)] == atString {
			return survey.SetFence, name[len(atString):]
		}
		return name, name
	}
	may := func(a, b int) bool {
		from, peg := end(a)
		to, other := end(b)
		if from == survey.SetFence || to == survey.SetFence {
			if peg != other {
				return false // the string square to another peg
			}
		} else if Through(j.plan, geom.Point{X: at[a][0], Y: at[a][1]}, geom.Point{X: at[b][0], Y: at[b][1]}) != "" ||
			math.Hypot(at[a][0]-at[b][0], at[a][1]-at[b][1]) < least {
			return false
		}
		return (open[peg] || open[other]) && !HasReading(j.set, from, to)
	}
	wanted := func(i int) bool { return open[net.Pegs[i].Name] }
	if a, b, ok := net.Next(at, j.rules.SigmaTape, wanted, may); ok {
		from, _ := end(a)
		to, _ := end(b)
		j.report.Next = [2]string{from, to}
	}
}

// least is the shortest tape that is proposed, mm. Common practice, no published source.
const least = 150.0
