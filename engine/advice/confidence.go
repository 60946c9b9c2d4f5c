package advice

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"pegpour/engine"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/sorting"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// ConfidenceReport says how sure the figures and the checks of a plan are, and
// which readings would help most if taken again.
type ConfidenceReport struct {
	// Readings are the numbers of the survey that move anything, in the order
	// of the survey.
	Readings []Reading `json:"readings"`
	// Results are the plan's figures, in the plan's order.
	Results []ResultConfidence `json:"results"`
	// Checks are those with a margin, the closest first.
	Checks []CheckConfidence `json:"checks"`
	// Again are the one or two readings that would help most if taken again.
	Again []Retake `json:"again,omitempty"`
	// Unknown are fields that nothing stands in for, and that a check waits for.
	Unknown []string `json:"unknown,omitempty"`
}

// Reading is one number of the survey with its standard uncertainty.
type Reading struct {
	Path      string         `json:"path"`
	Name      text.Name      `json:"name"`
	Dimension text.Dimension `json:"dimension"`
	Value     float64        `json:"value"`
	Sigma     float64        `json:"sigma"`
	Assumed   bool           `json:"assumed,omitempty"`

	retaken float64 // standard uncertainty after taking it again
}

// Share is one reading's part in the variance of a result; all shares of a
// result add up to one.
type Share struct {
	Path string    `json:"path"`
	Name text.Name `json:"name"`
	Part float64   `json:"part"`
}

// ResultConfidence is a figure with its standard uncertainty.
type ResultConfidence struct {
	ID        string         `json:"id"` // figure ID
	Name      text.Name      `json:"name"`
	Dimension text.Dimension `json:"dimension"`
	Value     float64        `json:"value"`
	Sigma     float64        `json:"sigma"`
	Shares    []Share        `json:"shares,omitempty"` // largest first
}

// CheckConfidence is a check's margin in terms of its standard uncertainty.
type CheckConfidence struct {
	// Code and Field name the check; of a question whose answers have codes of
	// their own it is the code of the one that stands.
	Code  string `json:"code"`
	Field string `json:"field,omitempty"`
	// Index of the check in Plan.Checks, −1 for one that does not stand but
	// would, were the readings a little different.
	Index    int            `json:"index"`
	Margin   float64        `json:"margin"`
	MarginOf text.Dimension `json:"marginOf"`
	Sigma    float64        `json:"sigma"`
	Ratio    float64        `json:"ratio"` // |margin| ÷ sigma; 1e9 where nothing measured moves it
	TooClose bool           `json:"tooClose,omitempty"`
	Decides  bool           `json:"decides,omitempty"` // a margin below nothing is a Stop or a Warning
	Words    text.Text      `json:"words"`
	Shares   []Share        `json:"shares,omitempty"`
	Appears  text.Text      `json:"appears,omitzero"` // what would be said where Index is −1
	// RestsOn are what the shop's rules say of it but nobody knows for certain; Flips
	// says that the answer is another one somewhere between their ends. Then
	// RestsOn are those that turn it.
	RestsOn []text.Name `json:"restsOn,omitempty"`
	Flips   bool        `json:"flips,omitempty"`

	question  plan.Question
	variances []float64
}

// Retake is a reading to take again.
type Retake struct {
	Path  string    `json:"path"`
	Name  text.Name `json:"name"`
	Words text.Text `json:"words"`
	// For is the code of the check, or the ID of the figure, that it helps most.
	For string `json:"for"`
	// Before and After are the standard uncertainty of that margin or figure
	// with the reading as it is and as it would be; 0 where the reading was
	// never taken at all.
	Before float64 `json:"before"`
	After  float64 `json:"after"`
}

// decisive are the figures that decide what is ordered, cut and dug.
var decisive = [...]string{
	plan.FigureLeafClearStraight, plan.FigureLeafClearAlong, plan.FigureLeafFrame, plan.FigureLeafTail,
	plan.FigureLeafGuideRail, plan.FigureStripLength,
	plan.FigureGuideAt, plan.FigureMotorAt, plan.FigureRoomNeeded, plan.FigurePadAlong, plan.FigurePadLevel,
	plan.FigureConcreteVolume,
}

// DecisiveFigures lists the IDs of the figures that decide what is ordered, cut and
// dug. The caller may keep and change the slice.
func DecisiveFigures() []string { return slices.Clone(decisive[:]) }

// certain stands for a ratio of margin to uncertainty where nothing measured
// moves the margin.
const certain = 1e9

// Confidence carries the standard uncertainty of every number of the survey
// through Design to the plan's figures and to the margins of its checks:
//
//	u_i(y) = (f(x_i + u_i) − f(x_i − u_i))/2;   u(y)² = Σ u_i(y)²
//
// that is, first order with the difference taken over the reading's own
// standard uncertainty, readings taken as independent. Where x_i ± u_i leaves
// the field's range the difference is taken on the other side alone. A value
// that was not measured has the uncertainty of an estimate; a level of the ground
// has that of its reading and of the surface's unevenness. A reading's range
// and kind follow the field table; rules of practice are chosen, not measured,
// and have none, but that a check which rests on wind, ground or rolling is
// tried at both their ends (bothEnds). Rules out of range stand at their defaults, as in Design.
//
// plan is Design's own for survey and practice. The report is deterministic;
// it takes two designs for each number of the survey, and eight for the ends.
//
// Source: JCGM 100:2008 (GUM), 5.1.2 and 5.1.3 note 2. Checked: against random
// draws through Design (TestConfidenceMonteCarlo).
func Confidence(s survey.Survey, p practice.Practice, made plan.Plan) ConfidenceReport {
	return ConfidenceInSteps(s, p, made, func() {})
}

// ConfidenceInSteps is Confidence that calls pause before each design, so that the caller
// can do something else in between.
func ConfidenceInSteps(s survey.Survey, p practice.Practice, made plan.Plan, pause func()) ConfidenceReport {
	var report ConfidenceReport
	p.ReplaceRefused()
	base := probed{&made, margins(&made)}
	results := make([]ResultConfidence, 0, len(made.Figures))
	for i := range made.Figures {
		if f := &made.Figures[i]; f.Dimension != text.Count && f.Dimension != text.Words && f.Dimension != text.Choice {
			results = append(results, ResultConfidence{ID: f.ID, Name: f.Name, Dimension: f.Dimension, Value: f.Value})
		}
	}
	resultParts := make([][]float64, len(results))
	checks := base.checks()
	for _, f := range survey.Fields(&s) {
		if _, worked := made.Network.Give(f.Path); worked || !f.Numeric() || !f.Needed(&s) {
			continue // what the network gives rests on its tapes
		}
		v := f.Value(&s)
		if f.CheckValue(v) != nil {
			v = survey.Value{}
		}
		reading := Reading{Path: f.Path, Name: f.Name, Dimension: f.Dimension, Value: v.Size, Assumed: !v.Known()}
		if reading.Assumed {
			value, stands := f.Assumed(&s, &p)
			if !stands {
				if slices.ContainsFunc(made.Checks,
					func(c plan.Check) bool { return c.Field == f.Path && c.Severity != plan.Sound && !c.HasMargin }) {
					report.Unknown = append(report.Unknown, f.Path)
				}
				continue
			}
			reading.Value = value
		}
		if reading.Sigma = f.Uncertainty(v, &p); reading.Sigma <= 0 {
			continue
		}
		reading.retaken = f.UncertaintyAgain(reading.Sigma, &p)
		if standsAlone(&made, f.Path) {
			// The surface under the staff is as uneven the second time.
			reading.Sigma = math.Hypot(reading.Sigma, p.SurfaceRoughness)
			reading.retaken = math.Hypot(reading.retaken, p.SurfaceRoughness)
		}
		pause()
		high := probe(&s, &p, &f, reading.Value+reading.Sigma)
		pause()
		low := probe(&s, &p, &f, reading.Value-reading.Sigma)
		if high.plan == nil && low.plan == nil {
			continue
		}
		k := len(report.Readings)
		moved := false
		for i := range results {
			d := difference(high, low, base, func(q *probed) (float64, bool) {
				g, ok := q.plan.Figure(results[i].ID)
				return g.Value, ok
			})
			resultParts[i] = append(resultParts[i], d*d)
			moved = moved || d != 0
		}
		checks = appearing(checks, high, low, k)
		for i := range checks {
			c := &checks[i]
			d := difference(high, low, base, func(q *probed) (float64, bool) {
				return marginOf(q.margins, c.question, c.Field)
			})
			for _, q := range [...]probed{high, low} {
				// Of a check that does not stand as measured only the side on
				// which it comes up is known.
				if m, ok := marginOf(q.margins, c.question, c.Field); ok && d == 0 && !c.Appears.Empty() {
					d = m
				}
			}
			c.variances = append(c.variances, d*d)
			moved = moved || d != 0
		}
		if !moved {
			for i := range resultParts {
				resultParts[i] = resultParts[i][:k]
			}
			for i := range checks {
				checks[i].variances = checks[i].variances[:k]
			}
			continue
		}
		report.Readings = append(report.Readings, reading)
	}
	for i := range results {
		results[i].Sigma, results[i].Shares = shares(report.Readings, resultParts[i])
	}
	report.Results = results
	for i := range checks {
		checks[i].judge(report.Readings)
	}
	checks = bothEnds(&s, &p, &made, checks, pause)
	checks = slices.DeleteFunc(checks, func(c CheckConfidence) bool { return c.Index < 0 && !c.TooClose && !c.Flips })
	sorting.Stable(checks, func(a, b CheckConfidence) int { return cmp.Compare(a.Ratio, b.Ratio) })
	report.Checks = checks
	report.advise(&made)
	return report
}

// standsAlone reports whether a path is of a reading of the ground's level at its
// own place, on which no other hangs.
func standsAlone(made *plan.Plan, path string) bool {
	g := made.Ground
	if g == nil || g.Taken == survey.LevelsBySlopes {
		return false
	}
	for _, column := range [...]survey.ListPath{survey.DropDown, survey.BookIntermediate} {
		if _, step, _ := strings.Cut(string(column), "*"); strings.HasSuffix(path, step) {
			return slices.ContainsFunc(g.Readings, func(q plan.GroundReading) bool { return q.Path == path })
		}
	}
	return false
}

// Result returns the confidence of a figure.
func (r *ConfidenceReport) Result(id string) (ResultConfidence, bool) {
	for i := range r.Results {
		if r.Results[i].ID == id {
			return r.Results[i], true
		}
	}
	return ResultConfidence{}, false
}

// Check returns the confidence of the check at an index of Plan.Checks.
func (r *ConfidenceReport) Check(index int) (CheckConfidence, bool) {
	for i := range r.Checks {
		if r.Checks[i].Index == index {
			return r.Checks[i], true
		}
	}
	return CheckConfidence{}, false
}

// probed is a plan made with one reading a little different.
type probed struct {
	plan    *plan.Plan
	margins []margin
}

func probe(s *survey.Survey, p *practice.Practice, f *survey.Field, size float64) probed {
	trial := s.Clone()
	v := f.Value(s)
	v.Size = size
	if !v.Known() {
		v = survey.Measured(size, survey.ByEstimate)
	}
	v.Sigma = 0
	if f.SetValue(&trial, v) != nil {
		return probed{}
	}
	plan, _ := engine.Judge(trial, *p)
	return probed{&plan, margins(&plan)}
}

// difference is half the difference of a number between two probes, or the
// whole difference to the base where one of them has it not.
func difference(high, low, base probed, of func(*probed) (float64, bool)) float64 {
	read := func(q *probed) (float64, bool) {
		if q.plan == nil {
			return 0, false
		}
		v, ok := of(q)
		return v, ok && !math.IsNaN(v) && !math.IsInf(v, 0)
	}
	h, okH := read(&high)
	l, okL := read(&low)
	b, okB := read(&base)
	switch {
	case okH && okL:
		return (h - l) / 2
	case okH && okB:
		return h - b
	case okL && okB:
		return b - l
	}
	return 0
}

// leastShare is the least part of a variance that is told.
const leastShare = 1e-6

// shares adds variances up to a standard uncertainty, with each reading's part.
func shares(readings []Reading, variances []float64) (sigma float64, list []Share) {
	var sum float64
	for _, v := range variances {
		sum += v
	}
	if sum <= 0 {
		return 0, nil
	}
	for i, v := range variances {
		if v > leastShare*sum && i < len(readings) {
			list = append(list, Share{Path: readings[i].Path, Name: readings[i].Name, Part: v / sum})
		}
	}
	sorting.Stable(list, func(a, b Share) int { return cmp.Compare(b.Part, a.Part) })
	return math.Sqrt(sum), list
}
