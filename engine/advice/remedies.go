package advice

import (
	"math"
	"slices"
	"strings"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/sorting"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// VerifiedRemedy is a remedy that was designed with, and what came of it.
type VerifiedRemedy struct {
	plan.Remedy
	// Check is the index in Plan.Checks of what it settles.
	Check int `json:"check"`
	// Computed says that the size was looked for, not proposed by the check.
	Computed bool `json:"computed,omitempty"`
	// Also lists the codes of other checks at Stop or Warning that it settles.
	Also []string `json:"also,omitempty"`
	// Raises says, in the checks' own words, what it brings up that must not be
	// built or must be known.
	Raises []text.Text `json:"raises,omitempty"`
	// Stops counts those of Raises that say Stop.
	Stops int `json:"stops,omitempty"`
	// Concrete is the change in concrete, mm³.
	Concrete float64 `json:"concrete"`
}

// lever is a size that can be changed to clear checks, from where it stands
// towards Limit.
type lever struct {
	settles []plan.Question
	path    string // a rule ("practice." and key) or a survey field
	limit   func(now float64, r *practice.Rule) float64
	words   func(by, to float64) text.Text
}

func upBy(most float64) func(float64, *practice.Rule) float64 {
	return func(now float64, r *practice.Rule) float64 { return min(now+most, r.High) }
}

func downTo(least float64) func(float64, *practice.Rule) float64 {
	return func(_ float64, r *practice.Rule) float64 { return max(least, r.Low) }
}

// How far levers are moved, mm. They bound a search: beyond them it is another gate
// that is built, and within them every size is designed with before it is offered.
const (
	farthestAlong  = 2500 // guide post and motor further along the fence
	farthestBack   = 1000 // guide post further back
	farthestOut    = 400  // track further out
	widerStrip     = 800
	leastPadAlong  = 250 // a pad no longer than this holds no motor
	leastPadOut    = 300
	leastStopExtra = 100 // concrete behind the open leaf
	leastOverlap   = 10  // of the leaf past the post
	leastStop      = 20  // a stop of rubber alone
)

var levers = []lever{
	{[]plan.Question{plan.QuestionOpeningGuide, plan.QuestionOpeningMotor, plan.QuestionMotionLost,
		plan.QuestionObstructionGap}, practice.PracticePath + practice.RulePlaceEdgeGap, upBy(farthestAlong),
		func(by, _ float64) text.Text {
			return text.Say("Set guide post and motor {0} further along: clears.", text.MM(by))
		}},
	{[]plan.Question{plan.QuestionObstructionGap, plan.QuestionRoomPadAlong},
		practice.PracticePath + practice.RulePadAlong, downTo(leastPadAlong),
		func(by, to float64) text.Text {
			return text.Say("Keep the pad to {0} along the fence where nothing else asks for more, {1} less: clears.",
				text.MM(to), text.MM(by))
		}},
	{[]plan.Question{plan.QuestionObstructionGap, plan.QuestionRoomStrip},
		practice.PracticePath + practice.RuleStripStopExtra, downTo(leastStopExtra),
		func(by, to float64) text.Text {
			return text.Say("End the strip {0} sooner, {1} past the open leaf's place: clears.", text.MM(by), text.MM(to))
		}},
	{[]plan.Question{plan.QuestionObstructionGap, plan.QuestionRoomPad}, practice.PracticePath + practice.RulePadOut,
		downTo(leastPadOut),
		func(by, to float64) text.Text {
			return text.Say("Keep the pad to {0} out from the fence where the motor allows it, {1} less: clears.", text.MM(to),
				text.MM(by))
		}},
	{[]plan.Question{plan.QuestionRoomPad}, practice.PracticePath + practice.RulePadMargin, downTo(0),
		func(by, to float64) text.Text {
			return text.Say("Leave {0} of concrete beyond the motor, {1} less: clears, and the anchors stand nearer the edge.",
				text.MM(to), text.MM(by))
		}},
	{[]plan.Question{plan.QuestionRoomPad, plan.QuestionMotionTrack}, survey.GateCladding,
		func(float64, *practice.Rule) float64 { return 0 },
		func(by, to float64) text.Text {
			return text.Say("Keep the cladding to {0}, {1} thinner: clears.", text.MM(to), text.MM(by))
		}},
	{[]plan.Question{plan.QuestionRoomAlong}, practice.PracticePath + practice.RuleLeafOverlapRunBack,
		downTo(leastOverlap),
		func(by, to float64) text.Text {
			return text.Say("Let the leaf pass the run-back post by {0}, {1} less: clears.", text.MM(to), text.MM(by))
		}},
	{[]plan.Question{plan.QuestionRoomAlong}, practice.PracticePath + practice.RuleLeafStopAllowance, downTo(leastStop),
		func(by, to float64) text.Text {
			return text.Say("Fit a stop that takes {0}, {1} less: clears.", text.MM(to), text.MM(by))
		}},
	{[]plan.Question{plan.QuestionMotionPass}, practice.PracticePath + practice.RuleGuideSetback, upBy(farthestBack),
		func(by, _ float64) text.Text {
			return text.Say("Set the guide post {0} further back: clears.", text.MM(by))
		}},
	{[]plan.Question{plan.QuestionMotionFence}, practice.PracticePath + practice.RuleTrackOffset, upBy(farthestOut),
		func(by, _ float64) text.Text { return text.Say("Set the track {0} further out: clears.", text.MM(by)) }},
	{[]plan.Question{plan.QuestionMotionTrack}, practice.PracticePath + practice.RuleStripWidth, upBy(widerStrip),
		func(by, _ float64) text.Text { return text.Say("Make the strip {0} wider: clears.", text.MM(by)) }},
}

// leverWalk is in how many strides a lever is first moved.
const leverWalk = 16

// choiceLever is another choice of building that may clear a check.
type choiceLever struct {
	settles     []plan.Question
	path, value string
	words       text.Text
}

// lengthQuestions are those that fewer or shorter parts along the fence clear.
var lengthQuestions = append(
	[]plan.Question{plan.QuestionRoomAlong, plan.QuestionRoomStrip, plan.QuestionRoomPadAlong},
	plan.ObstructionQuestions...)

var choiceLevers = []choiceLever{
	{slices.Concat(plan.RoomQuestions, plan.OpeningQuestions, plan.ObstructionQuestions), survey.GateGuide,
		survey.GuideOnPost, text.Say("Hold the leaf by a bracket on the gate post: clears.")},
	{slices.Concat(plan.RoomQuestions, plan.ObstructionQuestions), survey.GateGuide, survey.GuideCastIn,
		text.Say("Cast the guide post in: clears.")},
	{plan.ObstructionQuestions, survey.GateGuide, survey.GuideBasePlate,
		text.Say("Bolt the guide post to the pad by a base plate: clears.")},
	{lengthQuestions, survey.GatePanels, survey.PanelsTwo,
		text.Say("Run the gate in two panels, one behind the other: clears.")},
	{lengthQuestions, survey.GatePanels, survey.PanelsThree,
		text.Say("Run the gate in three panels, one behind the other: clears.")},
}

// VerifiedRemedies designs with every remedy that a check proposes and keeps
// those that clear it, and adds those it finds itself: other ways to build,
// and sizes changed by the least that settles the check, in steps of practice. A
// remedy that settles its check but brings up a new Stop elsewhere is dropped
// where another does not; else it is kept and says so.
//
// plan is Design's own for survey and practice. The order is that of the
// checks; within one, those that bring nothing up first. Remedies without
// changes are advice and are not here.
func VerifiedRemedies(s survey.Survey, p practice.Practice, made plan.Plan) []VerifiedRemedy {
	return RemediesOf(s, p, made, func(int) bool { return true })
}

// VerifiedRemediesInSteps is VerifiedRemedies that calls pause before each design, so that
// the caller can do something else in between.
func VerifiedRemediesInSteps(s survey.Survey, p practice.Practice, made plan.Plan, pause func()) []VerifiedRemedy {
	return remediesOf(s, p, made, func(int) bool { return true }, pause)
}

// RemediesOf is VerifiedRemedies for those of made's checks that are wanted, by
// their index.
func RemediesOf(s survey.Survey, p practice.Practice, made plan.Plan, wanted func(check int) bool) []VerifiedRemedy {
	return remediesOf(s, p, made, wanted, func() {})
}

func remediesOf(s survey.Survey, p practice.Practice, made plan.Plan, wanted func(check int) bool,
	pause func()) []VerifiedRemedy {
	var all []VerifiedRemedy
	p.ReplaceRefused()
	for i := range made.Checks {
		c := &made.Checks[i]
		if c.Severity == plan.Sound || !wanted(i) {
			continue
		}
		var found []VerifiedRemedy
		for _, r := range c.Remedies {
			pause()
			if v, ok := verify(&s, &p, &made, i, r); ok {
				found = append(found, v)
			}
		}
		for k := range choiceLevers {
			l := &choiceLevers[k]
			if !c.Question.Among(l.settles) {
				continue
			}
			if f := survey.FieldOf(survey.Path(l.path)); f.Chosen(&s) == l.value || proposed(found, l.path, l.value) {
				continue
			}
			r := plan.Remedy{Words: l.words, Changes: []plan.Change{{Path: l.path, Words: l.value}}}
			pause()
			if v, ok := verify(&s, &p, &made, i, r); ok {
				v.Computed = true
				found = append(found, v)
			}
		}
		for k := range levers {
			if !c.Question.Among(levers[k].settles) {
				continue
			}
			if r, ok := levers[k].search(&s, &p, c, pause); ok {
				pause()
				if v, ok := verify(&s, &p, &made, i, r); ok && !sameSize(found, r, p.RemedyStep) {
					v.Computed = true
					found = append(found, v)
				}
			}
		}
		clean := slices.ContainsFunc(found, func(v VerifiedRemedy) bool { return v.Stops == 0 })
		found = slices.DeleteFunc(found, func(v VerifiedRemedy) bool { return clean && v.Stops > 0 })
		sorting.Stable(found,
			func(a, b VerifiedRemedy) int { return (len(a.Raises) + 10*a.Stops) - (len(b.Raises) + 10*b.Stops) })
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
func sameSize(found []VerifiedRemedy, r plan.Remedy, step float64) bool {
	return slices.ContainsFunc(found, func(v VerifiedRemedy) bool {
		return len(v.Changes) == 1 && v.Changes[0].Path == r.Changes[0].Path &&
			math.Abs(v.Changes[0].Value-r.Changes[0].Value) < step
	})
}

// verify designs with a remedy.
func verify(s *survey.Survey, p *practice.Practice, made *plan.Plan, check int, r plan.Remedy) (VerifiedRemedy, bool) {
	v := VerifiedRemedy{Remedy: r, Check: check}
	if len(r.Changes) == 0 {
		return v, false
	}
	tried, clears := attempt(s, p, &made.Checks[check], r)
	after := tried.Plan
	if !clears {
		return v, false
	}
	v.Concrete = after.Quantities.Concrete - made.Quantities.Concrete
	for i := range after.Checks {
		k := &after.Checks[i]
		if k.Severity == plan.Sound || k.Severity == plan.Warning && !k.HasMargin {
			continue
		}
		was, there := plan.Sound, false
		for n := range made.Checks {
			if o := &made.Checks[n]; o.Question == k.Question && o.Field == k.Field {
				was, there = o.Severity, true
			}
		}
		if there && (was == k.Severity || was == plan.Stop) {
			continue
		}
		v.Raises = append(v.Raises, k.What)
		if k.Severity == plan.Stop {
			v.Stops++
		}
	}
	for n := range made.Checks {
		o := &made.Checks[n]
		if n == check || o.Severity == plan.Sound || slices.Contains(v.Also, o.Code) {
			continue
		}
		stands := slices.ContainsFunc(after.Checks, func(k plan.Check) bool {
			return k.Code == o.Code && k.Field == o.Field && k.Severity != plan.Sound
		})
		if !stands {
			v.Also = append(v.Also, o.Code)
		}
	}
	return v, true
}

// search finds the least change of a lever's size, in steps of practice,
// with which the check finds all in order: a coarse walk to the first place that does,
// then bisection between it and the last that did not.
func (l *lever) search(s *survey.Survey, p *practice.Practice, c *plan.Check, pause func()) (plan.Remedy, bool) {
	var now float64
	var r practice.Rule
	if key, isRule := strings.CutPrefix(l.path, practice.PracticePath); isRule {
		r = practice.RuleOf(key)
		now = r.Of(*p)
	} else {
		f := survey.FieldOf(survey.Path(l.path))
		if !f.Value(s).Known() {
			return plan.Remedy{}, false
		}
		now, r.Low, r.High = f.Value(s).Size, f.Low, f.High
	}
	most := l.limit(now, &r) - now
	steps := int(math.Floor(math.Abs(most) / p.RemedyStep))
	if steps < 1 {
		return plan.Remedy{}, false
	}
	sign := math.Copysign(p.RemedyStep, most)
	at := func(step int) plan.Remedy {
		by := sign * float64(step)
		return plan.Remedy{Words: l.words(math.Abs(by), now+by), Changes: []plan.Change{{Path: l.path, Value: now + by}}}
	}
	clears := func(step int) bool {
		pause()
		_, ok := attempt(s, p, c, at(step))
		return ok
	}
	stride := max(1, (steps+leverWalk-1)/leverWalk)
	low, high := 0, 0
	for step := stride; ; step += stride {
		step = min(step, steps)
		if clears(step) {
			high = step
			break
		}
		if low = step; step == steps {
			return plan.Remedy{}, false
		}
	}
	for high-low > 1 {
		if mid := (low + high) / 2; clears(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return at(high), true
}
