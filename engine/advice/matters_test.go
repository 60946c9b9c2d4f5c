package advice

import (
	"slices"
	"testing"

	"pegpour/engine"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// What is still assumed comes in the order in which it matters, nothing is
// lost, and what is called idle really moves nothing that matters when it is
// changed by its own uncertainty.
func TestStillAssumed(t *testing.T) {
	p := practice.DefaultPractice()
	var s survey.Survey
	s.Drive.Surface = survey.SurfaceConcrete
	plan, _ := engine.Design(s, p)
	report := Confidence(s, p, plan)
	matter, idle := StillAssumed(&plan, &report)
	if len(matter)+len(idle) != len(plan.Assumed) {
		t.Fatalf("%d and %d of %d", len(matter), len(idle), len(plan.Assumed))
	}
	at := func(path string) int {
		return slices.IndexFunc(matter, func(a survey.Assumption) bool { return a.Path == path })
	}
	if at(survey.RunBackRoom) < 0 || at(survey.OpeningWidth) < 0 || at(survey.RunBackRoom) > at(survey.OpeningWidth) {
		t.Errorf("a room never measured and an opening guessed stand at %d and %d", at(survey.RunBackRoom),
			at(survey.OpeningWidth))
	}
	if len(idle) == 0 {
		t.Error("everything matters")
	}
	for _, a := range idle {
		f, _ := survey.FieldAt(a.Path)
		v, _ := f.Assumed(&s, &p)
		for _, sign := range []float64{-1, 1} {
			trial := s.Clone()
			if f.SetValue(&trial, survey.Measured(v+sign*f.Uncertainty(survey.Value{}, &p), survey.ByEstimate)) != nil {
				continue
			}
			moved, _ := engine.Design(trial, p)
			for _, id := range DecisiveFigures() {
				before, okB := plan.Figure(id)
				after, okA := moved.Figure(id)
				result, _ := report.Result(id)
				if okB && okA && result.Sigma > 0 &&
					(after.Value-before.Value)*(after.Value-before.Value) > 1.2*mattersFrom*result.Sigma*result.Sigma {
					t.Errorf("%s is called idle and moves %s by %v of %v", a.Path, id, after.Value-before.Value, result.Sigma)
				}
			}
		}
	}
}
