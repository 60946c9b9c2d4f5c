package advice

import (
	"math"

	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// margin is the answer to one question that checks ask and that has a margin:
// above nothing in order, below nothing not.
type margin struct {
	plan.Answer
	said  *plan.Check // nil where nothing is said
	index int         // of said in Plan.Checks, else −1
}

// code names the answer in documents.
func (m *margin) code() string {
	if m.said == nil {
		return string(m.Question)
	}
	return m.said.Code
}

// followedWhileQuiet are the questions whose margin is followed also while all
// is in order: those of places and sizes, whose margins move evenly with the readings.
// The others count from where a reading brings them up.
var followedWhileQuiet = []plan.Question{plan.QuestionOpeningGuide, plan.QuestionOpeningMotor, plan.QuestionMotionLost,
	plan.QuestionMotionTrack,
	plan.QuestionRoomStrip, plan.QuestionRoomPadAlong}

// margins lists the margins of a plan's answers. What the shop's rules go under
// is chosen and not measured.
func margins(made *plan.Plan) []margin {
	list := make([]margin, 0, len(made.Checks)+len(followedWhileQuiet))
	for i := range made.Checks {
		if c := &made.Checks[i]; c.HasMargin && c.Question != plan.QuestionMinimum {
			list = append(list, margin{c.Answer(), c, i})
		}
	}
	for i := range made.Quiet {
		if a := &made.Quiet[i]; a.Question.Among(followedWhileQuiet) {
			list = append(list, margin{*a, nil, -1})
		}
	}
	return list
}

// marginOf is the margin of a question asked at a field.
func marginOf(list []margin, q plan.Question, field string) (float64, bool) {
	for i := range list {
		if list[i].Question == q && list[i].Field == field {
			return list[i].Margin, true
		}
	}
	return 0, false
}

// checks starts the confidence of every margin of the plan as it stands.
func (b probed) checks() []CheckConfidence {
	list := make([]CheckConfidence, 0, len(b.margins))
	for i := range b.margins {
		m := &b.margins[i]
		list = append(list, CheckConfidence{Code: m.code(), Field: m.Field, Index: m.index, Margin: m.Margin,
			MarginOf: m.MarginOf,
			Decides:  m.Question != plan.QuestionSupply, question: m.Question})
	}
	return list
}

// appearing adds checks that do not stand, and of whose margin nothing is known
// as measured, but that a reading k one standard uncertainty away brings up.
func appearing(checks []CheckConfidence, high, low probed, k int) []CheckConfidence {
	for _, q := range [...]probed{high, low} {
		for i := range q.margins {
			m := &q.margins[i]
			if m.said == nil || m.Severity == plan.Sound || m.Margin >= 0 {
				continue
			}
			known := false
			for c := range checks {
				known = known || checks[c].question == m.Question && checks[c].Field == m.Field
			}
			if !known {
				checks = append(checks, CheckConfidence{Code: m.said.Code, Field: m.Field, Index: -1, MarginOf: m.MarginOf,
					Decides: true, Appears: m.said.What,
					question: m.Question, variances: make([]float64, k, k+8)})
			}
		}
	}
	return checks
}

// closeRatio is how many standard uncertainties a margin must have for a check
// to be called: about 19 times in 20 for normal errors. As many are told as "give or
// take", so that less to spare than that reads as too close, and more as sure.
const closeRatio = 2

// openRatio is from how much more than the margin the readings can be out that
// its size says nothing.
const openRatio = 10

// placedAtLimit are the questions of what the layout itself puts at the limit, and
// which is set out from it: nothing to spare is then no close call.
var placedAtLimit = []plan.Question{plan.QuestionOpeningGuide, plan.QuestionOpeningMotor}

// surelyRatio is beyond what a person needs the uncertainty for.
const surelyRatio = 20

// judge finds a check's standard uncertainty and says what it means.
func (c *CheckConfidence) judge(readings []Reading) {
	c.Sigma, c.Shares = shares(readings, c.variances)
	c.variances = nil
	if !c.Appears.Empty() {
		// Of its margin nothing is known but that a reading brings it under nothing.
		c.Ratio, c.TooClose = 0, c.Sigma > 0
		c.Words = text.Say("A reading that is a little different brings this up.")
		return
	}
	give := text.Arg{Value: closeRatio * c.Sigma, Dimension: c.MarginOf}
	if c.MarginOf == text.Length && give.Value < 1 {
		give.Dimension = text.SmallLength // never "give or take 0 mm"
	}
	size := text.Arg{Value: math.Abs(c.Margin), Dimension: c.MarginOf}
	if c.Sigma <= 0 {
		c.Ratio = certain
		c.Words = text.Say("Nothing measured moves this.")
		return
	}
	c.Ratio = min(certain, math.Abs(c.Margin)/c.Sigma)
	c.TooClose = c.Ratio < closeRatio
	if c.Index < 0 && math.Abs(c.Margin) <= plan.Tolerance && c.question.Among(placedAtLimit) {
		c.TooClose = false
	}
	switch {
	case c.TooClose && give.Value > openRatio*size.Value:
		c.Words = text.Say("Too close to call: it hangs on this reading: {0}.", text.Word(c.Shares[0].Name))
	case !c.Decides && c.TooClose:
		c.Words = text.Say("Could go either way: {0} from the limit, give or take {1}.", size, give)
	case c.TooClose && c.Margin >= 0:
		c.Words = text.Say("Too close to call: {0} to spare, give or take {1}.", size, give)
	case c.TooClose:
		c.Words = text.Say("Too close to call: short by {0}, give or take {1}.", size, give)
	case c.Ratio > surelyRatio && !c.Decides:
		c.Words = text.Say("Sure: {0} from the limit, far more than the readings can be out.", size)
	case c.Ratio > surelyRatio && c.Margin >= 0:
		c.Words = text.Say("Sure: {0} to spare, far more than the readings can be out.", size)
	case c.Ratio > surelyRatio:
		c.Words = text.Say("Sure: short by {0}, far more than the readings can be out.", size)
	case !c.Decides:
		c.Words = text.Say("Sure: {0} from the limit, give or take {1}.", size, give)
	case c.Margin >= 0:
		c.Words = text.Say("Sure: {0} to spare, give or take {1}.", size, give)
	default:
		c.Words = text.Say("Sure: short by {0}, give or take {1}.", size, give)
	}
	if c.question.Among(plan.StrengthQuestions) {
		// What a first pass itself is out by is not in it.
		c.Words = text.Say("By the readings alone. {0}", text.List(c.Words))
	}
}

// leastGain is by how much surer a size must become for its reading to be worth taking
// again: nobody digs to the millimetre, nor mixes to the litre.
func leastGain(d text.Dimension) float64 {
	switch d {
	case text.Length:
		return 5 // mm
	case text.Volume:
		return 5e6 // mm³: half a bag
	}
	return 0
}

// advise names the one or two readings that would help most: first those that
// a check waits for, then those with the most to give to the closest checks,
// and where no check is close, to the figures that matter. While a Stop stands that
// no reading moves, only readings that were never taken are worth it.
func (r *ConfidenceReport) advise(made *plan.Plan) {
	const most = 2
	for i := range made.Checks {
		c := &made.Checks[i]
		if c.HasMargin || c.Severity == plan.Sound || len(r.Again) == most {
			continue
		}
		for _, path := range r.Unknown {
			if path == c.Field {
				f, _ := survey.FieldAt(path)
				r.Again = append(r.Again,
					Retake{Path: path, Name: f.Name, For: c.Code, Words: text.Say("Measure this: a check waits for it.")})
			}
		}
	}
	type wanted struct {
		score, best float64
		retake      Retake
	}
	scores := make([]wanted, len(r.Readings))
	gain := func(i int) float64 {
		q := r.Readings[i].retaken / r.Readings[i].Sigma
		return max(0, 1-q*q)
	}
	credit := func(i int, weight, part, sigma float64, what string, words func(before, after float64) text.Text) {
		score := weight * part * gain(i)
		scores[i].score += score
		if score <= scores[i].best {
			return
		}
		scores[i].best = score
		after := sigma * math.Sqrt(max(0, 1-part*gain(i)))
		scores[i].retake = Retake{Path: r.Readings[i].Path, Name: r.Readings[i].Name, For: what, Before: sigma, After: after,
			Words: words(sigma, after)}
	}
	at := func(path string) int {
		for i := range r.Readings {
			if r.Readings[i].Path == path {
				return i
			}
		}
		return -1
	}
	stopped := false
	for i := range r.Checks {
		c := &r.Checks[i]
		stopped = stopped || c.stops(made) && !c.TooClose && !c.Flips
	}
	worth := func(i int) bool { return !stopped || r.Readings[i].Assumed }
	near := false
	for i := range r.Checks {
		c := &r.Checks[i]
		if c.Ratio >= 2*closeRatio || !c.Decides || c.settled() {
			continue
		}
		near = near || c.TooClose
		weight := 1 / (0.25 + c.Ratio)
		for _, s := range c.Shares {
			if k := at(s.Path); k >= 0 && (worth(k) || c.TooClose && c.stops(made)) {
				credit(k, weight, s.Part, c.Sigma, c.Code, func(before, after float64) text.Text {
					if !c.Appears.Empty() {
						return text.Say("A little different, it brings this up: {0}", text.List(c.Appears))
					}
					if c.MarginOf != text.Length || closeRatio*before > openRatio*math.Abs(c.Margin) {
						return text.Say("A check that is close hangs on it.")
					}
					return text.Say("The closest check is then sure to {0} instead of {1}.",
						apart(closeRatio*after, closeRatio*before, c.MarginOf)...)
				})
			}
		}
	}
	if !near {
		for i := range r.Results {
			result := &r.Results[i]
			if result.Sigma <= 0 || !isDecisive(result.ID) {
				continue
			}
			for _, s := range result.Shares {
				k := at(s.Path)
				if k < 0 || !worth(k) {
					continue
				}
				surer := closeRatio * result.Sigma * (1 - math.Sqrt(1-s.Part*gain(k)))
				if surer >= leastGain(result.Dimension) {
					credit(k, 0.1, s.Part, result.Sigma, result.ID, func(before, after float64) text.Text {
						return text.Say("{0} is then sure to {1} instead of {2}.",
							append([]text.Arg{text.Word(result.Name)},
								apart(closeRatio*after, closeRatio*before, result.Dimension)...)...)
					})
				}
			}
		}
	}
	first := 0.0
	for len(r.Again) < most {
		best := -1
		for i := range scores {
			if scores[i].best > 0 && (best < 0 || scores[i].score > scores[best].score) {
				best = i
			}
		}
		if best < 0 || scores[best].score < first/4 {
			return
		}
		first = max(first, scores[best].score)
		r.Again = append(r.Again, scores[best].retake)
		scores[best].best = 0
	}
}

// stops reports whether a check stands that forbids building.
func (c *CheckConfidence) stops(made *plan.Plan) bool {
	return c.Index >= 0 && made.Checks[c.Index].Severity == plan.Stop
}

// settled reports whether a check is called though nothing is to spare: what it asks of
// is placed there.
func (c *CheckConfidence) settled() bool { return !c.TooClose && c.Ratio < closeRatio }

func isDecisive(id string) bool {
	for _, m := range decisive {
		if m == id {
			return true
		}
	}
	return false
}

// apart writes two sizes of a dimension so that they read as two: lengths that
// are the same in whole millimetres are given with tenths.
func apart(one, other float64, d text.Dimension) []text.Arg {
	if d == text.Length && math.Round(one) == math.Round(other) {
		return []text.Arg{text.Tenths(one), text.Tenths(other)}
	}
	return []text.Arg{{Value: one, Dimension: d}, {Value: other, Dimension: d}}
}
