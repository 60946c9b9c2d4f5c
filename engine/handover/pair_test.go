package handover

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// pair is a plan of two leaves, the second with a motor where latch is set.
func pair(latch bool) *plan.Plan {
	other := &plan.Plan{}
	if latch {
		other = driven()
	}
	return &plan.Plan{Pair: &plan.Pair{RunBack: driven(), Latch: other}}
}

func judgedPair(h survey.HandOver, latch bool) *Report {
	p := practice.DefaultPractice()
	return Judge(&survey.Survey{Build: survey.Build{HandOver: h}}, &p, pair(latch), h.SignedFor)
}

// both is a hand-over of two leaves of which nothing is missing.
func both() survey.HandOver {
	h := sound()
	h.Latch, h.Meets = h.Leaf(false), survey.Yes
	for _, f := range sound().Forces {
		f.Edge = survey.EdgeOf(true, f.Opens())
		h.Forces = append(h.Forces, f)
	}
	return h
}

// Each leaf has tests, readings and results of its own, and both have one together.
func TestEachLeafIsHandedOver(t *testing.T) {
	r := judgedPair(both(), true)
	assert.True(t, r.Ready(), "%v", r.Missing)
	one := judged(sound())
	assert.Len(t, r.Tests, 2*len(one.Tests)+1)
	ids, names := map[string]bool{}, map[string]bool{}
	for _, test := range r.Tests {
		assert.False(t, ids[test.ID] || names[test.Name.String()], test.Name)
		ids[test.ID], names[test.Name.String()] = true, true
		for _, path := range test.Fields {
			_, ok := survey.FieldAt(path)
			assert.True(t, ok || path == survey.HandOverForces, path)
			assert.Equal(t, strings.HasPrefix(test.ID, "latch "), strings.HasPrefix(path, "build.handOver.latch.") ||
				path == survey.HandOverForces && test.Edge == survey.EdgeOf(true, test.Edge == survey.EdgeOpeningLatch), test.ID)
		}
	}
	for _, test := range one.Tests {
		assert.True(t, ids[test.ID] && ids["latch "+test.ID], test.ID)
	}
	assert.Equal(t, "Stop in the drive, latch side", of(t, r, "latch stopShut").Name.String())

	// What fails at one leaf is told of it alone.
	for _, change := range []func(*survey.HandOver) string{
		func(h *survey.HandOver) string { h.Latch.StopOpen = survey.Fails; return "latch stopOpen" },
		func(h *survey.HandOver) string { h.StopOpen = survey.Fails; return "stopOpen" },
		func(h *survey.HandOver) string { h.Latch.Pull = newtons(900); return "latch pull" },
		func(h *survey.HandOver) string { h.Forces[4].Peak = newtons(900); return "latch force closing" },
		func(h *survey.HandOver) string { h.Forces = h.Forces[:4]; return "latch force closing" },
		func(h *survey.HandOver) string { h.Latch.Shown = survey.No; return "latch shown" },
		func(h *survey.HandOver) string { h.Meets = survey.No; return "meets" },
		func(h *survey.HandOver) string { h.Meets = ""; return "meets" },
	} {
		h := both()
		id := change(&h)
		r := judgedPair(h, true)
		assert.False(t, r.Ready())
		assert.NotEqual(t, Passed, of(t, r, id).Result, id)
		other := strings.TrimPrefix(id, "latch ")
		if other == id {
			other = "latch " + id
		}
		if id != "meets" {
			assert.Equal(t, Passed, of(t, r, other).Result, id)
		}
	}
}

// No motor runs before the stops of both leaves hold: what is done by hand comes first, of
// both, and bars what follows.
func TestNoPowerBeforeBothLeavesHold(t *testing.T) {
	h := both()
	h.Latch.Released = ""
	r := judgedPair(h, true)
	power := false
	for _, test := range r.Tests {
		if test.Power {
			power = true
			assert.True(t, test.Barred, test.ID)
		} else if power {
			assert.Contains(t, test.ID, "shown", "by hand, after the power is off")
		}
	}
	require.True(t, power)
}

// A leaf without a motor has no tests of one.
func TestLeafOfAPairWithoutAMotor(t *testing.T) {
	h := both()
	h.Latch.Reverses, h.Latch.Beams, h.Forces = "", "", h.Forces[:4]
	r := judgedPair(h, false)
	assert.True(t, r.Ready(), "%v", r.Missing)
	for _, test := range r.Tests {
		assert.False(t, test.Edge == survey.EdgeClosingLatch, test.ID)
	}
}
