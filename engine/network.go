package engine

import (
	"errors"
	"math"
	"slices"

	"pegpour/engine/tape"
)

// surveyNetwork adjusts the tape network and puts what comes of it into the survey,
// where the survey itself has not measured the same. It is nil without a
// network, and the survey then stays as it is.
//
// The frame is the gate's own: the latch post's corner is the zero, the
// run-back post's corner lies on the fence line. What is taken from the
// network is as sure as its covariance says; a figure that is a difference of
// two pegs takes their correlation into account. The uncertainty of a height
// difference between the ends of a tape is added to the tape's own.
func surveyNetwork(s *Survey, p *Practice) (*NetworkPlan, Refusals) {
	if !s.Network.Used() {
		return nil, nil
	}
	*s = s.Clone() // the caller's lists stay as they are
	a := adjustment{reader: NewReader(s, p), survey: s, practice: p, plan: &NetworkPlan{}}
	if a.read() && a.adjust() {
		a.places()
		a.feed()
	}
	return a.plan, a.reader.Refused()
}

// adjustment is one network on its way through the adjustment.
type adjustment struct {
	reader   *Reader
	survey   *Survey
	practice *Practice
	plan     *NetworkPlan

	pegs           []int // indices of the pegs with a name
	latch, runBack string
	net            tape.Network
	used           []int // of the net's tapes: index in plan.Tapes
	result         *tape.Result
}

func (a *adjustment) refuse(path Path, name string, reason Reason, detail Text) {
	a.reader.Refuse(FieldError{Path: string(path), Name: name, Reason: reason, Detail: detail})
}

// read takes pegs and tapes out of the survey; false where there is no frame.
func (a *adjustment) read() bool {
	n := &a.survey.Network
	if len(n.Pegs) > MaxNetworkPegs {
		a.refuse(NetworkPegs, "Pegs of the network", TooMany, say("at most {0}", number(MaxNetworkPegs)))
		n.Pegs = n.Pegs[:MaxNetworkPegs]
	}
	if len(n.Tapes) > MaxNetworkTapes {
		a.refuse(NetworkTapes, "Tapes of the network", TooMany, say("at most {0}", number(MaxNetworkTapes)))
		n.Tapes = n.Tapes[:MaxNetworkTapes]
	}
	seen := map[string]bool{}
	for i := range n.Pegs {
		name, role := a.reader.Words(NetworkPegName.At(i)), a.reader.Words(NetworkPegRole.At(i))
		a.reader.Words(NetworkPegThing.At(i))
		offset, _, _ := a.reader.Reading(NetworkPegOffset.At(i))
		a.reader.Reading(NetworkPegAlong.At(i))
		if name == "" {
			continue
		}
		if seen[name] {
			a.refuse(NetworkPegName.At(i), "Name of the peg", Impossible, say("two pegs are called {0}", asTyped(name)))
			continue
		}
		seen[name] = true
		peg := tape.Peg{Name: name, Side: tape.Left}
		if offset.Known() && offset.Size < 0 {
			peg.Side = tape.Right
		}
		switch {
		case role == PegLatch && a.latch == "":
			a.latch, peg.Known, peg.Side = name, true, tape.Unsaid
		case role == PegRunBack && a.runBack == "":
			a.runBack, peg.Side = name, tape.Unsaid
		case role == PegLatch || role == PegRunBack:
			a.refuse(NetworkPegRole.At(i), "What the peg marks", Impossible, say("two pegs mark the same post"))
		}
		a.pegs = append(a.pegs, i)
		a.net.Pegs = append(a.net.Pegs, peg)
	}
	a.readTapes(seen)
	if a.latch == "" || a.runBack == "" {
		a.plan.Problem = say("Name the pegs that mark the two gate posts: all the others hang on them.")
		return false
	}
	a.net.Along = a.runBack
	for i := range a.net.Pegs {
		if q := &a.net.Pegs[i]; q.Side != tape.Unsaid {
			q.Base = [2]string{a.latch, a.runBack}
		}
	}
	return true
}

func (a *adjustment) readTapes(named map[string]bool) {
	for i := range a.survey.Network.Tapes {
		from, to := a.reader.Words(NetworkTapeFrom.At(i)), a.reader.Words(NetworkTapeTo.At(i))
		length, sigma, ok := a.reader.Reading(NetworkTapeLength.At(i))
		rise, sigmaRise, _ := a.reader.Reading(NetworkTapeRise.At(i))
		temperature, _, known := a.reader.Reading(NetworkTapeTemperature.At(i))
		unsupported, _, hangs := a.reader.Reading(NetworkTapeUnsupported.At(i))
		if !ok || !named[from] || !named[to] || from == to {
			continue // begun and not finished
		}
		fit := TapeFit{Index: i, From: from, To: to}
		steel := tape.Tape{}
		on := tape.Conditions{HeightDifference: rise.Size, Pull: a.practice.TapePull}
		if length.How == ByTape {
			steel.StandardTemperature, steel.Expansion = a.practice.TapeTemperature, a.practice.TapeExpansion*1e-6
			steel.Weight = a.practice.TapeWeight / 1000
			on.Temperature = steel.StandardTemperature
			if known {
				on.Temperature = temperature.Size
			}
			if hangs && unsupported.Size > 0 {
				on.Spans = []float64{unsupported.Size}
			}
		}
		corrected, err := steel.Correct(length.Size, on)
		if err != nil {
			a.refuse(NetworkTapeLength.At(i), Fill("Tape {0} – {1}", from, to), Impossible, Because(err))
			continue
		}
		fit.Level, fit.Correction = corrected.Length, corrected.Length-length.Size
		fit.Sigma = math.Hypot(sigma, sigmaRise*rise.Size/corrected.Length)
		a.plan.Tapes = append(a.plan.Tapes, fit)
	}
}

// adjust adjusts what the tapes fix, and leaves out the pegs they do not.
func (a *adjustment) adjust() bool {
	for range len(a.net.Pegs) {
		a.net.Tapes, a.used = a.net.Tapes[:0], a.used[:0]
		for k := range a.plan.Tapes {
			t := &a.plan.Tapes[k]
			if !slices.Contains(a.plan.Loose, t.From) && !slices.Contains(a.plan.Loose, t.To) {
				a.net.Tapes = append(a.net.Tapes, tape.Taped{From: t.From, To: t.To, Length: t.Level, Sigma: math.Max(t.Sigma, 0.01)})
				a.used = append(a.used, k)
			}
		}
		if len(a.net.Tapes) == 0 {
			a.plan.TapeNext = [2]string{a.latch, a.runBack}
			a.plan.Problem = say("Tape from {0} to {1}: the two posts come first.", wordArg(a.latch), wordArg(a.runBack))
			return false
		}
		result, err := a.net.Adjust()
		if err == nil {
			a.result = result
			return true
		}
		if !a.drop(err) {
			return false
		}
	}
	return false
}

// drop leaves out the pegs that an error names; false where nothing is left to
// adjust without them.
func (a *adjustment) drop(err error) bool {
	var loose *tape.UnderDeterminedError
	var side *tape.SideError
	var meet *tape.MeetError
	var names []string
	switch {
	case errors.As(err, &loose):
		names = loose.Pegs
		if a.plan.TapeNext[0] == "" {
			a.plan.TapeNext = [2]string{loose.MissingFrom, loose.MissingTo}
		}
	case errors.As(err, &side):
		names = []string{side.Peg}
		if side.Contradicts && a.plan.Problem.Empty() {
			a.plan.Problem = say("The tapes put {0} on the other side of the fence: move it on the sketch, or tape it again.", wordArg(side.Peg))
		}
	case errors.As(err, &meet):
		names = []string{meet.Peg}
		one, two := &a.plan.Tapes[a.used[meet.Tapes[0]]], &a.plan.Tapes[a.used[meet.Tapes[1]]]
		if a.plan.Problem.Empty() {
			a.plan.Problem = say("The tapes {0} and {1} cannot meet at {2}: they miss by {3}. Tape both again.",
				wordArg(Fill("{0} – {1}", one.From, one.To)), wordArg(Fill("{0} – {1}", two.From, two.To)), wordArg(meet.Peg), mm(meet.Gap))
		}
	default:
		a.plan.Problem = say("The tapes contradict each other: tape the longest ones again.")
		return false
	}
	before := len(a.plan.Loose)
	for _, name := range names {
		if name == a.latch || name == a.runBack {
			a.plan.TapeNext = [2]string{a.latch, a.runBack}
			if a.plan.Problem.Empty() {
				a.plan.Problem = say("Tape from {0} to {1}: the two posts come first.", wordArg(a.latch), wordArg(a.runBack))
			}
			return false
		}
		if !slices.Contains(a.plan.Loose, name) {
			a.plan.Loose = append(a.plan.Loose, name)
		}
	}
	a.net.Pegs = slices.DeleteFunc(a.net.Pegs, func(p tape.Peg) bool { return slices.Contains(a.plan.Loose, p.Name) })
	a.pegs = slices.DeleteFunc(a.pegs, func(i int) bool { return slices.Contains(a.plan.Loose, a.survey.Network.Pegs[i].Name) })
	return len(a.plan.Loose) > before
}

// places writes down where the pegs stand and how the tapes fit.
func (a *adjustment) places() {
	r := a.result
	a.plan.DegreesOfFreedom, a.plan.UnitDeviation = r.DegreesOfFreedom, r.UnitDeviation
	checked := map[string]bool{}
	for j, k := range a.used {
		t, q := &a.plan.Tapes[k], &r.Tapes[j]
		t.Used, t.Residual, t.Standardized, t.Redundancy, t.Checked = true, q.Residual, q.Standardized, q.Redundancy, q.Checked
		if q.Checked {
			t.SmallestFound = q.SmallestFound
			checked[t.From], checked[t.To] = true, true
		}
	}
	for _, j := range r.Suspects {
		a.plan.Tapes[a.used[j]].Suspect = true
	}
	for j, i := range a.pegs {
		q := &r.Pegs[j]
		e := q.Ellipse.At95()
		a.plan.Pegs = append(a.plan.Pegs, PegPlace{Index: i, Name: q.Name, Role: a.survey.Network.Pegs[i].Role, Chainage: q.X, Offset: q.Y,
			SigmaX: math.Sqrt(math.Max(0, q.Covariance[0][0])), SigmaY: math.Sqrt(math.Max(0, q.Covariance[1][1])),
			Major95: e.Major, Minor95: e.Minor, Direction: e.Direction, Checked: checked[q.Name]})
	}
}

// suspects are the tapes of which one is most likely wrong.
func (n *NetworkPlan) suspects() []TapeFit {
	var out []TapeFit
	for _, t := range n.Tapes {
		if t.Suspect {
			out = append(out, t)
		}
	}
	return out
}

// unchecked are the pegs that only tapes lead to which nothing checks.
func (n *NetworkPlan) unchecked() []string {
	var out []string
	for _, p := range n.Pegs {
		if !p.Checked {
			out = append(out, p.Name)
		}
	}
	return out
}

// another is a distance that would check a peg: to the peg farthest from it
// that was not taped to it yet.
func (n *NetworkPlan) another(name string) string {
	from, _ := n.Peg(name)
	best, to := 0.0, ""
	for _, p := range n.Pegs {
		taped := slices.ContainsFunc(n.Tapes, func(t TapeFit) bool {
			return t.From == name && t.To == p.Name || t.To == name && t.From == p.Name
		})
		if d := math.Hypot(p.Chainage-from.Chainage, p.Offset-from.Offset); p.Name != name && !taped && d > best {
			best, to = d, p.Name
		}
	}
	return to
}
