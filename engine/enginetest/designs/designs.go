// Package designs makes designs for tests of the rooms above the engine, and of
// the engine from outside.
package designs

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// Of designs a survey by the practice of the table, and fails where it is refused.
func Of(t testing.TB, s survey.Survey) plan.Plan {
	t.Helper()
	p, err := engine.Design(s, practice.DefaultPractice())
	require.NoError(t, err)
	return p
}

// Figure is the value of a plan's figure, which must be there.
func Figure(t testing.TB, p plan.Plan, id string) float64 {
	t.Helper()
	f, ok := p.Figure(id)
	require.True(t, ok, "figure %s", id)
	return f.Value
}

// Check is a plan's first check of a code, which must be there.
func Check(t testing.TB, p plan.Plan, code string) plan.Check {
	t.Helper()
	for _, c := range p.Checks {
		if c.Code == code {
			return c
		}
	}
	require.Fail(t, "no check "+code)
	return plan.Check{}
}

// EachRandom looks at the designs of so many sites drawn by chance.
func EachRandom(t *testing.T, n int, look func(t *testing.T, s survey.Survey, p plan.Plan)) {
	t.Helper()
	for i := range n {
		s := enginetest.RandomSite(rand.New(rand.NewPCG(uint64(i), 7)))
		look(t, s, Of(t, s))
		if t.Failed() {
			t.Fatalf("seed %d: %+v", i, s)
		}
	}
}

// Sound fails on any figure that is not a number.
func Sound(t testing.TB, p *plan.Plan) {
	t.Helper()
	for _, f := range p.Figures {
		if math.IsNaN(f.Value) || math.IsInf(f.Value, 0) {
			t.Fatalf("figure %s is %v", f.ID, f.Value)
		}
	}
	for _, o := range p.Outlines {
		if math.IsNaN(o.Area) || o.Area < 0 {
			t.Fatalf("outline %s has area %v", o.ID, o.Area)
		}
	}
	// Encoding refuses NaN and infinities anywhere in the plan.
	if _, err := json.Marshal(p); err != nil {
		t.Fatal(err)
	}
}
