package pegs

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
)

// AtPost reports whether a mark is a post's own corner, as near as a tape goes: nobody
// drives a peg there.
func (m *Mark) AtPost(p *plan.Plan) bool {
	return math.Hypot(m.At.X, m.At.Y) < least || math.Hypot(m.At.X-p.Opening, m.At.Y) < least
}

// NextTape is the tape to take next: what the peg in hand still lacks of its three, from
// either post and square to the string; then the one that would tell most, where that
// is at this peg; then the next peg of the walk that was not taped; then the one that
// would tell most. from is the peg in hand, "" for none. The first of the two ends is a
// peg. False where all is taped and told.
func NextTape(p *plan.Plan, s *survey.SetPegs, marks []Mark, r *Report, from string) ([2]string, bool) {
	if m := Find(marks, from); m != nil {
		if end := lacks(p, s, m); end != "" {
			return [2]string{from, end}, true
		}
	}
	var tells [2]string
	if r != nil {
		if tells = r.Next; EndName(tells[0]) != "" || tells[1] == from && EndName(from) == "" {
			tells[0], tells[1] = tells[1], tells[0]
		}
	}
	if tells[0] != "" && tells[0] == from {
		return tells, true
	}
	for i := range marks {
		m := &marks[i]
		if m.AtPost(p) || r != nil && r.Peg(m.Key) != nil {
			continue
		}
		if end := lacks(p, s, m); end != "" {
			return [2]string{m.Key, end}, true
		}
	}
	return tells, tells[0] != ""
}

// lacks is the end to which a peg was not taped yet: a post that the tape reaches
// straight, or the string; "" where none is missing.
func lacks(p *plan.Plan, s *survey.SetPegs, m *Mark) string {
	for _, end := range []string{survey.SetLatch, survey.SetRunBack} {
		to, _ := EndAt(p, end)
		if !HasReading(s, m.Key, end) && math.Hypot(to.X-m.At.X, to.Y-m.At.Y) >= least && Through(p, m.At, to) == "" {
			return end
		}
	}
	if !HasReading(s, m.Key, survey.SetFence) && Through(p, m.At, geom.Point{X: m.At.X}) == "" {
		return survey.SetFence
	}
	return ""
}

// HasReading reports whether a tape between two ends has a reading.
func HasReading(s *survey.SetPegs, a, b string) bool {
	k := Taped(s, a, b)
	return k >= 0 && s.Tapes[k].Length.Known()
}
