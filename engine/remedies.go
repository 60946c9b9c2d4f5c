package engine

import (
	"math"
	"slices"
	"strings"
)

// VerifiedRemedy is a remedy that was designed with, and what came of it.
type VerifiedRemedy struct {
	Remedy
	// Check is the index in Plan.Checks of what it settles.
	Check int `json:"check"`
	// Computed says that the size was looked for, not proposed by the check.
	Computed bool `json:"computed,omitempty"`
	// Also lists the codes of other checks at Stop or Warning that it settles.
	Also []string `json:"also,omitempty"`
	// Raises says, in the checks' own words, what it brings up that must not be
	// built or must be known.
	Raises []Text `json:"raises,omitempty"`
	// Stops counts those of Raises that say Stop.
	Stops int `json:"stops,omitempty"`
	// Concrete is the change in concrete, mm³.
	Concrete float64 `json:"concrete"`
}

// lever is a size that can be changed to settle checks, from where it stands
// towards Limit.
type lever struct {
	settles []Question
	path    string // a rule ("practice." and key) or a survey field
	limit   func(now float64, r *Rule) float64
	words   func(by, to float64) Text
}

func upBy(most float64) func(float64, *Rule) float64 {
	return func(now float64, r *Rule) float64 { return math.Min(now+most, r.High) }
}

func downTo(least float64) func(float64, *Rule) float64 {
	return func(_ float64, r *Rule) float64 { return math.Max(least, r.Low) }
}

var levers = []lever{
	{[]Question{QuestionOpeningGuide, QuestionOpeningMotor, QuestionMotionLost, QuestionObstructionGap}, PracticePath + RulePlaceEdgeGap, upBy(2500),
		func(by, _ float64) Text { return say("Set guide post and motor {0} further along: clears.", mm(by)) }},
	{[]Question{QuestionObstructionGap, QuestionRoomPadAlong}, PracticePath + RulePadAlong, downTo(250),
		func(by, to float64) Text {
			return say("Keep the pad to {0} along the fence where nothing else asks for more, {1} less: clears.", mm(to), mm(by))
		}},
	{[]Question{QuestionObstructionGap, QuestionRoomStrip}, PracticePath + RuleStripStopExtra, downTo(100),
		func(by, to float64) Text {
			return say("End the strip {0} sooner, {1} past the open leaf's place: clears.", mm(by), mm(to))
		}},
	{[]Question{QuestionObstructionGap, QuestionRoomPad}, PracticePath + RulePadOut, downTo(300),
		func(by, to float64) Text {
			return say("Keep the pad to {0} out from the fence where the motor allows it, {1} less: clears.", mm(to), mm(by))
		}},
	{[]Question{QuestionRoomPad}, PracticePath + RulePadMargin, downTo(0),
		func(by, to float64) Text {
			return say("Leave {0} of concrete beyond the motor, {1} less: clears, and the anchors stand nearer the edge.", mm(to), mm(by))
		}},
	{[]Question{QuestionRoomPad, QuestionMotionTrack}, GateCladding, func(float64, *Rule) float64 { return 0 },
		func(by, to float64) Text {
			return say("Keep the cladding to {0}, {1} thinner: clears.", mm(to), mm(by))
		}},
	{[]Question{QuestionRoomAlong}, PracticePath + RuleLeafOverlapRunBack, downTo(10),
		func(by, to float64) Text {
			return say("Let the leaf pass the run-back post by {0}, {1} less: clears.", mm(to), mm(by))
		}},
	{[]Question{QuestionRoomAlong}, PracticePath + RuleLeafStopAllowance, downTo(20),
		func(by, to float64) Text {
			return say("Fit a stop that takes {0}, {1} less: clears.", mm(to), mm(by))
		}},
	{[]Question{QuestionMotionPass}, PracticePath + RuleGuideSetback, upBy(1000),
		func(by, _ float64) Text { return say("Set the guide post {0} further back: clears.", mm(by)) }},
	{[]Question{QuestionMotionFence}, PracticePath + RuleTrackOffset, upBy(400),
		func(by, _ float64) Text { return say("Set the track {0} further out: clears.", mm(by)) }},
	{[]Question{QuestionMotionTrack}, PracticePath + RuleStripWidth, upBy(800),
		func(by, _ float64) Text { return say("Make the strip {0} wider: clears.", mm(by)) }},
}

// choiceLever is another way to build that may settle a check.
type choiceLever struct {
	settles     []Question
	path, value string
	words       Text
}

// lengthQuestions are those that fewer or shorter parts along the fence settle.
var lengthQuestions = append([]Question{QuestionRoomAlong, QuestionRoomStrip, QuestionRoomPadAlong}, obstructionQuestions...)

var choiceLevers = []choiceLever{
	{slices.Concat(roomQuestions, openingQuestions, obstructionQuestions), GateGuide, GuideOnPost, say("Hold the leaf by a bracket on the gate post: clears.")},
	{slices.Concat(roomQuestions, obstructionQuestions), GateGuide, GuideCastIn, say("Cast the guide post in: clears.")},
	{obstructionQuestions, GateGuide, GuideBasePlate, say("Bolt the guide post to the pad by a base plate: clears.")},
	{lengthQuestions, GatePanels, PanelsTwo, say("Run the gate in two panels, one behind the other: clears.")},
	{lengthQuestions, GatePanels, PanelsThree, say("Run the gate in three panels, one behind the other: clears.")},
}

// VerifiedRemedies designs with every remedy that a check proposes and keeps
// those that settle it, and adds those it finds itself: other ways to build,
// and sizes changed by the least that settles the check, in steps of practice. A
// remedy that settles its check but brings up a new Stop elsewhere is dropped
// where another does not; else it is kept and says so.
//
// plan is Design's own for survey and practice. The order is that of the
// checks; within one, those that bring nothing up first. Remedies without
// changes are advice and are not here.
func VerifiedRemedies(s Survey, p Practice, plan Plan) []VerifiedRemedy {
	var all []VerifiedRemedy
	for i := range plan.Checks {
		c := &plan.Checks[i]
		if c.Severity == Sound {
			continue
		}
		var found []VerifiedRemedy
		for _, r := range c.Remedies {
			if v, ok := verify(&s, &p, &plan, i, r); ok {
				found = append(found, v)
			}
		}
		for k := range choiceLevers {
			l := &choiceLevers[k]
			if !c.Question.among(l.settles) {
				continue
			}
			if f := FieldOf(Path(l.path)); f.Chosen(&s) == l.value || proposed(found, l.path, l.value) {
				continue
			}
			r := Remedy{Words: l.words, Changes: []Change{{Path: l.path, Words: l.value}}}
			if v, ok := verify(&s, &p, &plan, i, r); ok {
				v.Computed = true
				found = append(found, v)
			}
		}
		for k := range levers {
			if !c.Question.among(levers[k].settles) {
				continue
			}
			if r, ok := levers[k].search(&s, &p, c); ok {
				if v, ok := verify(&s, &p, &plan, i, r); ok && !sameSize(found, r, p.RemedyStep) {
					v.Computed = true
					found = append(found, v)
				}
			}
		}
		clean := slices.ContainsFunc(found, func(v VerifiedRemedy) bool { return v.Stops == 0 })
		found = slices.DeleteFunc(found, func(v VerifiedRemedy) bool { return clean && v.Stops > 0 })
		slices.SortStableFunc(found, func(a, b VerifiedRemedy) int { return (len(a.Raises) + 10*a.Stops) - (len(b.Raises) + 10*b.Stops) })
		all = append(all, found...)
	}
	return all
}

func proposed(found []VerifiedRemedy, path, value string) bool {
	return slices.ContainsFunc(found, func(v VerifiedRemedy) bool {
		return len(v.Changes) == 1 && v.Changes[0].Path == path && v.Changes[0].Words == value
	})
}

// sameSize reports whether a remedy with as small a change of the same size is
// there already.
func sameSize(found []VerifiedRemedy, r Remedy, step float64) bool {
	return slices.ContainsFunc(found, func(v VerifiedRemedy) bool {
		return len(v.Changes) == 1 && v.Changes[0].Path == r.Changes[0].Path && math.Abs(v.Changes[0].Value-r.Changes[0].Value) < step
	})
}

// settle designs with a remedy; ok says that no answer to the check's question
// is then a Stop or a Warning.
func settle(s *Survey, p *Practice, c *Check, r Remedy) (after Plan, ok bool) {
	after, ok = Try(*s, *p, *c, r)
	return after, ok && !slices.ContainsFunc(after.Checks, func(k Check) bool {
		return k.Severity != Sound && k.Field == c.Field && k.Question == c.Question
	})
}

// verify designs with a remedy.
func verify(s *Survey, p *Practice, plan *Plan, check int, r Remedy) (VerifiedRemedy, bool) {
	v := VerifiedRemedy{Remedy: r, Check: check}
	if len(r.Changes) == 0 {
		return v, false
	}
	after, clears := settle(s, p, &plan.Checks[check], r)
	if !clears {
		return v, false
	}
	v.Concrete = after.Quantities.Concrete - plan.Quantities.Concrete
	for i := range after.Checks {
		k := &after.Checks[i]
		if k.Severity == Sound || k.Severity == Warning && !k.HasMargin {
			continue
		}
		was, there := Sound, false
		for n := range plan.Checks {
			if o := &plan.Checks[n]; o.Question == k.Question && o.Field == k.Field {
				was, there = o.Severity, true
			}
		}
		if there && (was == k.Severity || was == Stop) {
			continue
		}
		v.Raises = append(v.Raises, k.What)
		if k.Severity == Stop {
			v.Stops++
		}
	}
	for n := range plan.Checks {
		o := &plan.Checks[n]
		if n == check || o.Severity == Sound || slices.Contains(v.Also, o.Code) {
			continue
		}
		stands := slices.ContainsFunc(after.Checks, func(k Check) bool {
			return k.Code == o.Code && k.Field == o.Field && k.Severity != Sound
		})
		if !stands {
			v.Also = append(v.Also, o.Code)
		}
	}
	return v, true
}

// search finds the least change of a lever's size, in steps of practice,
// with which the check is settled: a coarse walk to the first place that does,
// then bisection between it and the last that did not.
func (l *lever) search(s *Survey, p *Practice, c *Check) (Remedy, bool) {
	var now float64
	var r Rule
	if key, isRule := strings.CutPrefix(l.path, PracticePath); isRule {
		r = RuleOf(key)
		now = r.Of(*p)
	} else {
		f := FieldOf(Path(l.path))
		if !f.Value(s).Known() {
			return Remedy{}, false
		}
		now, r.Low, r.High = f.Value(s).Size, f.Low, f.High
	}
	most := l.limit(now, &r) - now
	steps := int(math.Floor(math.Abs(most) / p.RemedyStep))
	if steps < 1 {
		return Remedy{}, false
	}
	sign := math.Copysign(p.RemedyStep, most)
	at := func(step int) Remedy {
		by := sign * float64(step)
		return Remedy{Words: l.words(math.Abs(by), now+by), Changes: []Change{{Path: l.path, Value: now + by}}}
	}
	settles := func(step int) bool {
		_, ok := settle(s, p, c, at(step))
		return ok
	}
	const walk = 16
	stride := max(1, (steps+walk-1)/walk)
	low, high := 0, 0
	for step := stride; ; step += stride {
		step = min(step, steps)
		if settles(step) {
			high = step
			break
		}
		if low = step; step == steps {
			return Remedy{}, false
		}
	}
	for high-low > 1 {
		if mid := (low + high) / 2; settles(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return at(high), true
}
