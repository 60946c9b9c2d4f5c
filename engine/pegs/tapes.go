package pegs

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// otherEnds is how much a tape may differ from the plan before it is asked whether these
// are the ends that were taped, mm. Common practice, no published source.
const otherEnds = 300.0

// lookAtTapes says of each tape what can be told before any is adjusted. A tape with
// words takes no part.
func (j *judgement) lookAtTapes() {
	for k := range j.report.Tapes {
		t := &j.report.Tapes[k]
		a, okA := j.place(t.From)
		b, okB := j.place(t.To)
		switch {
		case t.square() && (okA || okB):
			t.Planned = a.Y + b.Y // the string has no place
		case !okA || !okB:
			t.Words = text.Say("One of its ends is nowhere in the plan.")
		case t.Length < 1:
			t.Words = text.Say("Two ends cannot stand at one place: type what the tape says.")
		default:
			t.Planned = math.Hypot(b.X-a.X, b.Y-a.Y)
			if through := Through(j.plan, a, b); through != "" {
				t.Note = text.Say("In its way stands: {0}. A tape that is bent round reads too long: tape from elsewhere.", text.Word(through))
			}
		}
		if t.Words.Empty() && t.Note.Empty() && math.Abs(t.Length-t.Planned) > otherEnds {
			t.Note = text.Say("The plan has {0} there: are these the ends that were taped?", text.MM(t.Planned))
		}
	}
}

// lookAtTriangles says of tapes that took no part where two of them cannot meet over a
// third, or over the opening. The others show what is wrong by the adjustment.
func (j *judgement) lookAtTriangles() {
	for k := range j.report.Tapes {
		for m := range k {
			if t, u := &j.report.Tapes[k], &j.report.Tapes[m]; !t.Used && !u.Used && !t.square() && !u.square() {
				j.lookAtTriangle(t, u)
			}
		}
	}
}

// square reports whether a tape was taken square to the string.
func (t *Tape) square() bool { return t.From == survey.SetFence || t.To == survey.SetFence }

func (j *judgement) lookAtTriangle(t, u *Tape) {
	if !t.Words.Empty() || !u.Words.Empty() {
		return
	}
	var ends [2]string
	switch {
	case t.From == u.From:
		ends = [2]string{t.To, u.To}
	case t.From == u.To:
		ends = [2]string{t.To, u.From}
	case t.To == u.From:
		ends = [2]string{t.From, u.To}
	case t.To == u.To:
		ends = [2]string{t.From, u.From}
	default:
		return
	}
	base, sigma, ok := j.between(ends[0], ends[1])
	if !ok {
		return
	}
	gap := max(base-t.Length-u.Length, math.Abs(t.Length-u.Length)-base)
	if gap > 4*math.Sqrt(t.Sigma*t.Sigma+u.Sigma*u.Sigma+sigma*sigma) {
		t.Words = text.Say("It cannot meet the tape {0}: they miss by {1}. Tape both again.", text.Word(u.Name), text.MM(gap))
		u.Words = text.Say("It cannot meet the tape {0}: they miss by {1}. Tape both again.", text.Word(t.Name), text.MM(gap))
	}
}

// between is the distance between two ends that is known by itself: the opening, or a
// tape.
func (j *judgement) between(a, b string) (length, sigma float64, ok bool) {
	at, okA := EndAt(j.plan, a)
	to, okB := EndAt(j.plan, b)
	if okA && okB && a != b {
		return math.Hypot(to.X-at.X, to.Y-at.Y), 0, true
	}
	if a == survey.SetFence || b == survey.SetFence {
		return 0, 0, false
	}
	for i := range j.report.Tapes {
		t := &j.report.Tapes[i]
		if (t.From == a && t.To == b || t.From == b && t.To == a) && t.Words.Empty() {
			return t.Length, t.Sigma, true
		}
	}
	return 0, 0, false
}

// nameWrongTapes gives the tapes that do not fit their words.
func (j *judgement) nameWrongTapes() {
	places := map[string]geom.Point{}
	for _, p := range j.result.Pegs {
		places[p.Name] = geom.Point{X: p.X, Y: p.Y}
	}
	for k := range j.report.Tapes {
		t := &j.report.Tapes[k]
		switch {
		case t.Tied:
			t.Words = text.Say("It or another tape is wrong, and they do not tell which: tape it again, and one more to its pegs.")
		case t.Suspect:
			from, okFrom := places[t.From]
			to, okTo := places[t.To]
			length := math.Hypot(to.X-from.X, to.Y-from.Y)
			switch {
			case t.From == survey.SetFence && okTo:
				length = to.Y
			case t.To == survey.SetFence && okFrom:
				length = from.Y
			case !okFrom || !okTo:
				t.Words = text.Say("It is most likely wrong: tape it again.")
				continue
			}
			if t.Residual = length - t.Length; t.Residual < 0 {
				t.Words = text.Say("It is most likely wrong: {0} longer than the others make it. Tape it again.", text.MM(-t.Residual))
			} else {
				t.Words = text.Say("It is most likely wrong: {0} shorter than the others make it. Tape it again.", text.MM(t.Residual))
			}
		}
	}
}
