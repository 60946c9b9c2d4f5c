package network

import (
	"errors"
	"math"
	"slices"

	"pegpour/engine/input"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/tape"
	"pegpour/engine/text"
)

// Adjust adjusts the tape network of a survey and writes what follows from it
// into the survey, where the survey itself has not measured the same. The network
// is nil where no peg was taped, and the survey then stays as it is. Pegs and tapes
// that cannot be used are refused by path.
//
// The frame is the gate's own: the latch post's corner is the zero, the
// run-back post's corner lies on the fence line. The uncertainty of what is
// written is the network's covariance; a figure that is a difference of two pegs
// takes their correlation into account. The uncertainty of a height
// difference between the ends of a tape is added to the tape's own.
func Adjust(s *survey.Survey, p *practice.Practice) (*plan.Network, input.Refusals) {
	if !s.Network.Used() {
		return nil, nil
	}
	*s = s.Clone() // the caller's lists stay as they are
	a := adjustment{reader: survey.NewReader(s, p), survey: s, practice: p, plan: &plan.Network{}}
	if a.read() && a.adjust() {
		a.places()
		a.feed()
	}
	return a.plan, a.reader.Refused()
}

// adjustment is one network while it is adjusted.
type adjustment struct {
	reader   *survey.Reader
	survey   *survey.Survey
	practice *practice.Practice
	plan     *plan.Network

	pegs           []int // indices of the pegs with a name
	latch, runBack string
	net            tape.Network
	used           []int // of the net's tapes: index in plan.Tapes
	result         *tape.Result
}

func (a *adjustment) refuse(path survey.Path, name text.Name, reason input.Reason, detail text.Text) {
	a.reader.Refuse(input.FieldError{Path: string(path), Name: name, Reason: reason, Detail: detail})
}

// read takes pegs and tapes out of the survey; false where there is no frame.
func (a *adjustment) read() bool {
	n := &a.survey.Network
	if len(n.Pegs) > survey.MaxNetworkPegs {
		a.refuse(survey.NetworkPegs, "Pegs of the network", input.TooMany,
			text.Say("at most {0}", text.Number(survey.MaxNetworkPegs)))
		n.Pegs = n.Pegs[:survey.MaxNetworkPegs]
	}
	if len(n.Tapes) > survey.MaxNetworkTapes {
		a.refuse(survey.NetworkTapes, "Tapes of the network", input.TooMany,
			text.Say("at most {0}", text.Number(survey.MaxNetworkTapes)))
		n.Tapes = n.Tapes[:survey.MaxNetworkTapes]
	}
	seen := map[string]bool{}
	for i := range n.Pegs {
		name, role := a.reader.Words(survey.NetworkPegName.At(i)), a.reader.Words(survey.NetworkPegRole.At(i))
		a.reader.Words(survey.NetworkPegThing.At(i))
		offset, _, _ := a.reader.Reading(survey.NetworkPegOffset.At(i))
		a.reader.Reading(survey.NetworkPegAlong.At(i))
		if name == "" {
			continue
		}
		if seen[name] {
			a.refuse(survey.NetworkPegName.At(i), "Name of the peg", input.Impossible,
				text.Say("two pegs are called {0}", text.Typed(name)))
			continue
		}
		seen[name] = true
		peg := tape.Peg{Name: name, Side: tape.Left}
		if offset.Known() && offset.Size < 0 {
			peg.Side = tape.Right
		}
		switch {
		case role == survey.PegLatch && a.latch == "":
			a.latch, peg.Known, peg.Side = name, true, tape.Unsaid
		case role == survey.PegRunBack && a.runBack == "":
			a.runBack, peg.Side = name, tape.Unsaid
		case role == survey.PegLatch || role == survey.PegRunBack:
			a.refuse(survey.NetworkPegRole.At(i), "What the peg marks", input.Impossible,
				text.Say("two pegs mark the same post"))
		}
		a.pegs = append(a.pegs, i)
		a.net.Pegs = append(a.net.Pegs, peg)
	}
	a.readTapes(seen)
	if a.latch == "" || a.runBack == "" {
		a.plan.Problem = text.Say("Name the pegs that mark the two gate posts: all the others hang on them.")
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
		from, to := a.reader.Words(survey.NetworkTapeFrom.At(i)), a.reader.Words(survey.NetworkTapeTo.At(i))
		length, sigma, ok := a.reader.Reading(survey.NetworkTapeLength.At(i))
		rise, sigmaRise, _ := a.reader.Reading(survey.NetworkTapeRise.At(i))
		temperature, _, known := a.reader.Reading(survey.NetworkTapeTemperature.At(i))
		unsupported, _, hangs := a.reader.Reading(survey.NetworkTapeUnsupported.At(i))
		if !ok || !named[from] || !named[to] || from == to {
			continue // begun and not finished
		}
		fit := plan.TapeFit{Index: i, From: from, To: to}
		steel := tape.Tape{}
		on := tape.Conditions{HeightDifference: rise.Size, Pull: a.practice.TapePull}
		if length.How == survey.ByTape {
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
			a.refuse(survey.NetworkTapeLength.At(i), text.Named("Tape {0} – {1}", text.TypedName(from), text.TypedName(to)), input.Impossible, text.Because(err))
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
				a.net.Tapes = append(a.net.Tapes,
					tape.Taped{From: t.From, To: t.To, Length: t.Level, Sigma: max(t.Sigma, 0.01)})
				a.used = append(a.used, k)
			}
		}
		if len(a.net.Tapes) == 0 {
			a.plan.TapeNext = [2]string{a.latch, a.runBack}
			a.plan.Problem = text.Say("Tape from {0} to {1}: the two posts come first.", text.Word(text.TypedName(a.latch)),
				text.Word(text.TypedName(a.runBack)))
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
			a.plan.Problem = text.Say(
				"The tapes put {0} on the other side of the fence: move it on the sketch, or tape it again.", text.Word(text.TypedName(side.Peg)))
		}
	case errors.As(err, &meet):
		names = []string{meet.Peg}
		one, two := &a.plan.Tapes[a.used[meet.Tapes[0]]], &a.plan.Tapes[a.used[meet.Tapes[1]]]
		if a.plan.Problem.Empty() {
			a.plan.Problem = text.Say("The tapes {0} and {1} cannot meet at {2}: they miss by {3}. Tape both again.",
				text.Word(one.Name()), text.Word(two.Name()),
				text.Word(text.TypedName(meet.Peg)), text.MM(meet.Gap))
		}
	default:
		a.plan.Problem = text.Say("The tapes contradict each other: tape the longest ones again.")
		return false
	}
	before := len(a.plan.Loose)
	for _, name := range names {
		if name == a.latch || name == a.runBack {
			a.plan.TapeNext = [2]string{a.latch, a.runBack}
			if a.plan.Problem.Empty() {
				a.plan.Problem = text.Say("Tape from {0} to {1}: the two posts come first.", text.Word(text.TypedName(a.latch)),
					text.Word(text.TypedName(a.runBack)))
			}
			return false
		}
		if !slices.Contains(a.plan.Loose, name) {
			a.plan.Loose = append(a.plan.Loose, name)
		}
	}
	a.net.Pegs = slices.DeleteFunc(a.net.Pegs, func(p tape.Peg) bool { return slices.Contains(a.plan.Loose, p.Name) })
	a.pegs = slices.DeleteFunc(a.pegs,
		func(i int) bool { return slices.Contains(a.plan.Loose, a.survey.Network.Pegs[i].Name) })
	return len(a.plan.Loose) > before
}

// places writes down where the pegs stand and how the tapes fit.
func (a *adjustment) places() {
	r := a.result
	a.plan.DegreesOfFreedom, a.plan.UnitDeviation = r.DegreesOfFreedom, r.UnitDeviation
	checked := map[string]bool{}
	for j, k := range a.used {
		t, q := &a.plan.Tapes[k], &r.Tapes[j]
		t.Used, t.Residual, t.Standardized, t.Redundancy, t.Checked = true, q.Residual, q.Standardized, q.Redundancy,
			q.Checked
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
		a.plan.Pegs = append(a.plan.Pegs,
			plan.PegPlace{Index: i, Name: q.Name, Role: a.survey.Network.Pegs[i].Role, Chainage: q.X, Offset: q.Y,
				SigmaX: math.Sqrt(max(0, q.Covariance[0][0])), SigmaY: math.Sqrt(max(0, q.Covariance[1][1])),
				Major95: e.Major, Minor95: e.Minor, Direction: e.Direction, Checked: checked[q.Name]})
	}
}
