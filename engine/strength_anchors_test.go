package engine

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// The hard stop on its strip of 200 by 100, by hand: two M12 of class 4.6 in resin,
// 70 deep and two thirds of the strip's 100 counted, 100 from either side.
func TestStopHoldByHand(t *testing.T) {
	made := design(t, enginetest.SquareSite())
	s := made.Strength
	const gamma = 1 / 0.6
	bond := 200 * 0.006894757 * math.Pi * 12 * 200.0 / 3 // the edges lie beyond 92 mm
	pulled := s.StopTension / (bond * 0.45 / gamma)
	// The end of a thin narrow strip breaks off as if 100/1.5 away.
	near := 100 / 1.5
	edge := 0.58 * math.Pow(200.0/3/12, 0.2) * math.Sqrt(12*20) * math.Pow(near, 1.5)
	pushed := s.StopLoad / (edge * 0.70 / gamma)
	require.Greater(t, pushed, 0.2)
	assert.InEpsilon(t, (pulled+pushed)/1.2, s.StopHold.Use, 1e-6)
	assert.Equal(t, "bond broken", string(s.StopHold.Mode))
	assert.Equal(t, plan.Warning, checkOf(t, made, "strength.stopAnchors").Severity)
	f, ok := made.Figure(plan.FigureStrengthStopHold)
	require.True(t, ok)
	assert.Equal(t, s.StopHold.Use, f.Value)
}

// The rear pair of a base plate by the moments about where the plate presses: the
// lever is found again from the pressed length, and all of the pull goes into bond.
func TestPlateHoldByHand(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Guide = survey.GuideBasePlate
	made := design(t, s)
	g := made.Strength.Guide
	n := 200000 / (4700 * math.Sqrt(20))
	area := n * 2 * 84.3
	x := (math.Sqrt(area*area+2*200*area*170) - area) / 200
	pull := g.Push * g.Height / (170 - x/3)
	assert.InEpsilon(t, pull, g.Hold.Demand, 0.01)
	// Wind of the site tears the cones out of a pad of 100; bond at the least
	// is not told to break, steel and cone are.
	c := checkOf(t, made, "strength.plateAnchors")
	assert.Equal(t, plan.Stop, c.Severity)
	assert.True(t, g.Hold.Breaks)
	assert.Greater(t, pull, 7*math.Sqrt(20)*math.Pow(200.0/3, 1.5)*(1+140.0/200), "the pair of cones, however far the edges")
}

// Whatever remedy changes rules or the survey clears its check when the site is
// designed with it.
func TestAnchorRemediesClear(t *testing.T) {
	plate := enginetest.SquareSite()
	plate.Gate.Guide = survey.GuideBasePlate
	offered, carriages := 0, 0
	for _, s := range []survey.Survey{enginetest.SquareSite(), plate, enginetest.FallingSite(), enginetest.HangingSite()} {
		for _, rules := range []map[string]float64{nil, {practice.RuleWindShut: 60},
			{practice.RuleAnchorKind: practice.AnchorCastIn, practice.RuleWindShut: 80},
			{practice.RuleHangAnchorKind: practice.AnchorResin},
			{practice.RuleHangOffset: 40}, {practice.RuleHangAnchorDepth: 40, practice.RuleWindMoving: 900},
			{practice.RuleAnchorBond: 7, practice.RuleAnchorBondUncracked: 10, practice.RuleWindShut: 40}} {
			for _, c := range with(t, s, rules).Checks {
				if !strings.HasSuffix(c.Code, "Anchors") || c.Severity == plan.Sound {
					continue
				}
				for _, r := range c.Remedies {
					offered++
					if c.Question == plan.QuestionStrengthCarriages {
						carriages++
					}
					cured, changed := s, map[string]float64{}
					for key, v := range rules {
						changed[key] = v
					}
					for _, change := range r.Changes {
						if change.Path == survey.GateGuide {
							cured.Gate.Guide = change.Words
							continue
						}
						changed[strings.TrimPrefix(change.Path, practice.PracticePath)] = change.Value
					}
					for _, after := range with(t, cured, changed).Checks {
						assert.False(t, after.Code == c.Code && after.Severity != plan.Sound, "%s: %s", r.Words, after.What)
					}
				}
			}
		}
	}
	assert.Greater(t, offered, 5)
	assert.Greater(t, carriages, 2)
}

// Without their maker's number sleeve anchors are never sound.
func TestSleeveAnchorsNeedTheirMaker(t *testing.T) {
	rules := map[string]float64{practice.RuleAnchorKind: practice.AnchorExpanding, practice.RuleStripWidth: 400,
		practice.RuleTrackOffset: 200, practice.RulePadMargin: 200, practice.RulePlaceEdgeGap: 200,
		practice.RuleAnchorDepth: 50}
	made := with(t, enginetest.SquareSite(), rules)
	said := 0
	for _, r := range made.Strength.Refused {
		if strings.Contains(r.Words.String(), "cannot be judged without their maker's number") {
			said++
		}
	}
	assert.Equal(t, 2, said, "motor and stop")
	for _, c := range made.Checks {
		assert.False(t, strings.HasSuffix(c.Code, "Anchors") && c.Severity == plan.Sound, c.What)
	}
	rules[practice.RuleAnchorPullOut] = 9000
	made = with(t, enginetest.SquareSite(), rules)
	assert.Equal(t, plan.Sound, checkOf(t, made, "strength.motorAnchors").Severity)
}

// The nearer the edge and the shallower, the harder the anchors are worked.
func TestAnchorsNearAnEdge(t *testing.T) {
	made := design(t, enginetest.SquareSite())
	h := made.Strength.MotorHold
	assert.Equal(t, [2]float64{30, 72}, [2]float64{h.Edge, h.EdgeLeast}, "the inset of 30 from the drive's edge")
	assert.Equal(t, plan.Warning, checkOf(t, made, "strength.motorAnchors").Severity)
	use := math.Inf(1)
	for _, gap := range []float64{45, 60, 90} {
		hold := with(t, enginetest.SquareSite(), map[string]float64{practice.RulePlaceEdgeGap: gap}).Strength.MotorHold
		assert.True(t, hold.Use > 0 && hold.Use <= use, gap)
		use = hold.Use
	}
}
