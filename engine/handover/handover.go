package handover

import (
	"math"
	"time"

	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Result is what came of a test.
type Result string

// The results.
const (
	Open     Result = ""        // not done yet
	Passed   Result = "passed"  //
	Failed   Result = "failed"  //
	Unjudged Result = "unknown" // done, and it cannot be told
)

// Words are what a result is called, in English.
func (r Result) Words() string {
	switch r {
	case Passed:
		return "passed"
	case Failed:
		return "not passed"
	case Unjudged:
		return "cannot be judged"
	}
	return "not done"
}

// Test is one test of a hand-over.
type Test struct {
	// ID names it for good: "stopShut", "force closing".
	ID   string
	Name text.Name
	// Do says what is done, Limit what it may come to (empty where it is a yes or
	// no), and Source who says so.
	Do, Limit text.Text
	Source    string
	// Edge is where forces are read for it; empty where none are.
	Edge string
	// Power says that the motor drives the leaf in it.
	Power bool
	// Result and why; Why is empty where it passed.
	Result Result
	Why    text.Text
	// Barred says that a test before it failed or is not done.
	Barred bool
	// Fields are the paths of what is entered for it; of a list's entries the list's.
	Fields []string
}

// Report is how a hand-over stands.
type Report struct {
	Tests []Test
	// Missing says what is left to do before the gate may be handed over, in order.
	Missing []text.Text
	// Changed says that it was signed for another state of the site.
	Changed bool
}

// Ready reports whether nothing is missing.
func (r *Report) Ready() bool { return len(r.Missing) == 0 }

// Done counts the tests that passed.
func (r *Report) Done() int {
	n := 0
	for i := range r.Tests {
		if r.Tests[i].Result == Passed {
			n++
		}
	}
	return n
}

// Gaps are those at which the closing edge is measured, mm, and GapMost the widest at
// which the force is judged here.
//
// Source: EN 12445, 5.1.2: 50, 300 and 500 mm (memory).
var Gaps = [...]float64{50, 300, 500}

// GapMost is the widest gap at which a force is judged here, mm.
const GapMost = 500

// gapReach is how far from one of Gaps a gauge may have stood, mm: a gauge is
// some 50 mm long. Own choice.
const gapReach = 30

const sourceForces = "EN 12453, as printed in a trade journal of doors and gates, summer 2016 (read); places by EN 12445 (memory)"

// Judge judges what was entered of a hand-over. It never fails: what is not there is
// not done yet. state names the site as it is now, as SignedFor named it when somebody
// signed: another one is no longer what was signed.
func Judge(s *survey.Survey, pr *practice.Practice, p *plan.Plan, state string) *Report {
	h := &s.Build.HandOver
	r := &Report{}
	leaves := leavesOf(h, p)
	// Nobody stands beside either leaf under power before the stops of both hold.
	for i := range leaves {
		r.byHand(&leaves[i], pr)
	}
	for i := range leaves {
		r.underPower(&leaves[i], h, pr)
	}
	if p.Pair != nil {
		r.answered(Test{ID: "meets", Name: "The leaves meet", Power: true,
			Do:     text.Say("Shut both, by their motors where they have them: the leaf that shuts first rests against the stop in the drive, and its catch takes the other."),
			Fields: []string{survey.HandOverMeets}}, h.Meets, survey.Yes,
			text.Say("Nothing ties the leaves together, or one shuts behind the catch of the other: set their order before anybody leaves."))
	}
	for i := range leaves {
		l := &leaves[i]
		r.answered(l.test(Test{ID: "shown", Name: "Release shown to the owner",
			Do:     text.Say("Power off. The owner releases the motor, moves the leaf by hand and locks it again, and keeps the key."),
			Fields: []string{survey.HandOverShown}}), l.tests.Shown, survey.Yes,
			text.Say("In a fire or a power cut nobody in the house could open the gate."))
	}

	for i := range r.Tests {
		if t := &r.Tests[i]; t.Result != Passed {
			r.Missing = append(r.Missing, text.Say("{0}: {1}", text.Word(t.Name), text.List(missing(t))))
		}
	}
	if !signedBy(h.Fitter, h.FitterSign) {
		r.Missing = append(r.Missing, text.Say("Who hands over signs, with a name."))
	}
	if !signedBy(h.Owner, h.OwnerSign) {
		r.Missing = append(r.Missing, text.Say("The owner signs, with a name."))
	}
	if r.Changed = h.SignedFor != "" && h.SignedFor != state; r.Changed {
		r.Missing = append(r.Missing,
			text.Say("Something changed since it was signed. Wipe the signatures and sign again, or take the change back."))
	}
	return r
}

// leaf is one leaf with what was entered of its tests.
type leaf struct {
	side  plan.Side
	tests survey.LeafTests
}

func leavesOf(h *survey.HandOver, p *plan.Plan) []leaf {
	var all []leaf
	for _, side := range p.Sides() {
		all = append(all, leaf{side, h.Leaf(side.Latch)})
	}
	return all
}

// test is a test of the leaf, with its side in words of the place where there are two.
func (l *leaf) test(t Test) Test {
	t.Name = l.side.Named(t.Name)
	if l.side.Latch {
		t.ID = "latch " + t.ID
	}
	for i, path := range t.Fields {
		if path != survey.HandOverForces {
			t.Fields[i] = survey.OfLeaf(path, l.side.Latch)
		}
	}
	return t
}

// add adds a test, closed as long as one before it did not pass.
func (r *Report) add(t Test) {
	for i := range r.Tests {
		if r.Tests[i].Result != Passed {
			t.Barred = true
		}
	}
	r.Tests = append(r.Tests, t)
}

// answered adds a test that is answered by words: good ones pass.
func (r *Report) answered(t Test, words, good string, bad text.Text) {
	switch words {
	case "":
	case good:
		t.Result = Passed
	default:
		t.Result, t.Why = Failed, bad
	}
	r.add(t)
}

// byHand are the tests of a leaf before there is power.
func (r *Report) byHand(l *leaf, pr *practice.Practice) {
	noStop := text.Say("A leaf that passes its stop runs off its track and falls on who stands beside it. No power before it holds.")
	rolls := text.Say("A leaf that rolls by itself hits whom it meets in every power cut. Level the track or fit a brake that holds it released.")
	heavy := text.Say("Nobody alone inside could open it in a power cut: look for what rubs, rollers set too tight, a track out of line.")
	if l.side.HangsFree() {
		noStop = text.Say("A leaf that passes its stop runs out of its carriages and falls on who stands beside it. No power before it holds.")
		rolls = text.Say("A leaf that rolls by itself hits whom it meets in every power cut. Pack the carriages level or fit a brake that holds it released.")
		heavy = text.Say("Nobody alone inside could open it in a power cut: look for what rubs, rollers set too tight, carriages out of line.")
	}
	shut := text.Name("Hard stop at the latch side")
	if l.side.Name != "" {
		shut = "Stop in the drive"
	}
	r.answered(l.test(Test{ID: "stopShut", Name: shut,
		Do:     text.Say("No power yet. Two people walk the leaf against it at a slow walking pace, from the side, never in its way."),
		Fields: []string{survey.HandOverStopShut}}), l.tests.StopShut, survey.Holds, noStop)
	r.answered(l.test(Test{ID: "stopOpen", Name: "Hard stop at the open end",
		Do:     text.Say("The same at the other end: the guide rollers must still hold the leaf upright there."),
		Fields: []string{survey.HandOverStopOpen}}), l.tests.StopOpen, survey.Holds, noStop)
	r.answered(l.test(Test{ID: "released", Name: "Released, the leaf stays",
		Do:     text.Say("Motor released. Let go of the leaf shut, half open and open; somebody stands ready to hold it, beside it."),
		Fields: []string{survey.HandOverReleased}}), l.tests.Released, survey.Stays, rolls)
	t := l.test(Test{ID: "pull", Name: "Force to move it by hand",
		Do:    text.Say("Motor released, a spring balance at the leaf's middle rail, where it goes hardest."),
		Limit: text.Say("{0} at most", text.Newtons(pr.ReleasedForce)), Source: "EN 12453, 5.3.5, as a drive's manual gives it (read)",
		Fields: []string{survey.HandOverPull}})
	if l.tests.Pull.Known() {
		t.Result, t.Why = against(l.tests.Pull.Size, pr.ReleasedForce, pr.GaugeShare, heavy)
	}
	r.add(t)
}

// underPower are the tests of a leaf that a motor drives.
func (r *Report) underPower(l *leaf, h *survey.HandOver, pr *practice.Practice) {
	if !l.side.Has(plan.PartMotor) {
		return
	}
	r.add(l.test(forces(h, pr, l.side.Latch, false)))
	r.add(l.test(forces(h, pr, l.side.Latch, true)))
	r.answered(l.test(Test{ID: "reverses", Name: "It goes back", Power: true,
		Do:     text.Say("A block of soft foam in the leaf's way, opening and closing: the leaf stops and goes back."),
		Source: "EN 12453 (memory)", Fields: []string{survey.HandOverReverses}}), l.tests.Reverses, survey.Yes,
		text.Say("It crushes and holds: whom it has caught cannot get out. Off with the power until the drive is set or edges are fitted."))
	beams, name := l.tests.Beams, text.Name("Beams")
	if beams == survey.NoBeams {
		beams, name = survey.Yes, "Without beams, as it was built"
	}
	r.answered(l.test(Test{ID: "beams", Name: name, Power: true,
		Do:     text.Say("While it closes, a hand in each beam, near the ground and higher: the leaf stops."),
		Fields: []string{survey.HandOverBeams}}), beams, survey.Yes,
		text.Say("It does not see who stands in the drive."))
}

func missing(t *Test) text.Text {
	if t.Result == Open {
		return text.Say("not done yet")
	}
	return t.Why
}

func signedBy(name, sign string) bool { return name != "" && Signed(sign) }

// against judges a reading (N) against its limit (N), with the gauge's uncertainty as
// a share of the reading.
func against(reading, limit, share float64, bad text.Text) (Result, text.Text) {
	u := reading * share
	switch {
	case reading+u <= limit:
		return Passed, text.Text{}
	case reading-u > limit:
		return Failed, text.Say("{0} of {1} that may be. {2}", text.Newtons(reading), text.Newtons(limit), text.List(bad))
	}
	return Unjudged, text.Say("{0} of {1} that may be, give or take {2}: too close to tell. Set the drive softer and measure again.",
		text.Newtons(reading), text.Newtons(limit), text.Newtons(u))
}

// forces judges the readings at one edge of a leaf.
func forces(h *survey.HandOver, pr *practice.Practice, latch, opening bool) Test {
	edge := survey.EdgeOf(latch, opening)
	t := Test{ID: "force " + survey.EdgeOf(false, opening), Edge: edge, Name: "Force at the closing edge", Power: true,
		Do: text.Say("A gauge of force between the edge and what stands still, with {0}, {1} and {2} left open. Set the drive softer until it passes.",
			text.MM(Gaps[0]), text.MM(Gaps[1]), text.MM(Gaps[2])),
		Limit: text.Say("{0} at the first, {1} at most after {2} seconds", text.Newtons(motion.ClosingForcePeak),
			text.Newtons(motion.ClosingForceRest), text.Plain(motion.ClosingForceSeconds)),
		Source: sourceForces, Fields: []string{survey.HandOverForces}}
	if opening {
		t.Name = "Force at the opening edge"
		t.Do = text.Say("The same where the leaf's tail comes near a post, a wall or a fence as it opens.")
	}
	crushes := text.Say("It crushes. Less force, a safety edge, or both; then measure again.")
	found, worst := [len(Gaps)]bool{}, Passed
	any := false
	for i := range h.Forces {
		f := &h.Forces[i]
		if f.At() != edge {
			continue
		}
		any = true
		result, why := judge(f, pr, crushes)
		for k, gap := range Gaps {
			found[k] = found[k] || result == Passed && math.Abs(f.Gap.Size-gap) <= gapReach
		}
		if rank(result) > rank(worst) {
			worst, t.Why = result, why
		}
	}
	if !any {
		return t
	}
	t.Result = worst
	if opening || worst != Passed {
		return t
	}
	for k, ok := range found {
		if !ok {
			t.Result, t.Why = Unjudged, text.Say("Measured, but not with {0} left open.", text.MM(Gaps[k]))
			return t
		}
	}
	return t
}

// rank puts the worst result last.
func rank(r Result) int {
	switch r {
	case Failed:
		return 2
	case Unjudged:
		return 1
	}
	return 0
}

// judge judges one reading.
func judge(f *survey.EdgeForce, pr *practice.Practice, crushes text.Text) (Result, text.Text) {
	switch {
	case !f.Peak.Known():
		return Unjudged, text.Say("A reading has no force at the first.")
	case !f.Gap.Known():
		return Unjudged, text.Say("A reading does not say how much was left open.")
	case f.Gap.Size > GapMost+gapReach:
		return Unjudged, text.Say("With {0} left open nothing is judged here: measure with {1} or less.", text.MM(f.Gap.Size),
			text.MM(GapMost))
	}
	result, why := against(f.Peak.Size, motion.ClosingForcePeak, pr.GaugeShare, crushes)
	if result == Failed {
		return result, why
	}
	if f.Peak.Size <= motion.ClosingForceRest*(1-pr.GaugeShare) { // never more than what may stay
		return result, why
	}
	if !f.Long.Known() || !f.Rest.Known() {
		return Unjudged, text.Say("A reading of more than {0} says how long it lasted and what remained.",
			text.Newtons(motion.ClosingForceRest))
	}
	if f.Long.Size > motion.ClosingForceSeconds {
		return Failed, text.Say("It pressed for {0} seconds, {1} may be. {2}", text.Plain(f.Long.Size),
			text.Plain(motion.ClosingForceSeconds), text.List(crushes))
	}
	rest, ofRest := against(f.Rest.Size, motion.ClosingForceRest, pr.GaugeShare, crushes)
	if rank(rest) > rank(result) {
		return rest, ofRest
	}
	return result, why
}

// NextService is the day of the next service: some months after the last one that was
// done, or after the gate was signed for. False where neither has a day that can be
// read.
func NextService(h *survey.HandOver, pr *practice.Practice) (time.Time, bool) {
	var last time.Time
	note := func(day string) {
		if len(day) >= len(time.DateOnly) {
			if d, err := time.Parse(time.DateOnly, day[:len(time.DateOnly)]); err == nil && d.After(last) {
				last = d
			}
		}
	}
	note(h.Signed)
	for i := range h.Services {
		note(h.Services[i].On)
	}
	if last.IsZero() {
		return last, false
	}
	months := pr.ServiceMonths
	if h.ServiceEvery.Known() {
		months = h.ServiceEvery.Size
	}
	next := last.AddDate(0, int(months), 0)
	if next.Day() != last.Day() { // the 31st of a month that has none
		next = next.AddDate(0, 0, -next.Day())
	}
	return next, true
}
