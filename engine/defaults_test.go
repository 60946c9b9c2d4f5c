package engine_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/storage/demo"
)

// limits are rules that say how much may be, not how a shop builds: that a site goes
// beyond them is no fault of theirs.
var limits = []string{practice.RuleMotionHandForce, practice.RuleMotionReleasedForce, practice.RuleFootingEmbedMost,
	practice.RuleDriveJointSpacing, practice.RuleWallMost, practice.RuleTrackGradeLimit, practice.RuleLeafWheelBears}

// A default of common practice that the design's own checks find too little on any of
// many sites says so where it is set, and that a check says how much.
func TestDefaultsThatChecksContradictSaySo(t *testing.T) {
	sites := enginetest.RandomSites(300)
	for _, d := range demo.Sites() {
		sites = append(sites, d.Survey)
	}
	seen := map[string]bool{}
	for _, s := range sites {
		made, err := engine.Design(s, practice.DefaultPractice())
		require.NoError(t, err)
		for _, c := range made.Checks {
			key, isRule := strings.CutPrefix(c.Field, practice.PracticePath)
			family, _, _ := strings.Cut(string(c.Question), ".")
			if isRule && c.Severity != plan.Sound && strings.Contains("strength footing wall motion leaf", family) {
				seen[key] = true
			}
		}
	}
	for _, key := range limits {
		delete(seen, key)
	}
	for _, key := range []string{practice.RuleGuidePostSize, practice.RuleGuideHoleSize, practice.RuleDriveStripDepth,
		practice.RuleFootingPost} {
		assert.True(t, seen[key], key)
	}
	for key := range seen {
		assert.Regexp(t, `the checks? says? (how|which|by how|where|so)`, practice.RuleOf(key).Why, key)
	}
	// These are contradicted at no field of their own.
	for _, key := range []string{practice.RuleGuidePostWall, practice.RuleGuidePlateSize, practice.RulePadAlong,
		practice.RulePadOut, practice.RuleDriveStripWidth, practice.RuleFootingPostWall, practice.RuleStopBuffer,
		practice.RuleMeshCover} {
		assert.Contains(t, practice.RuleOf(key).Why, "the check says", key)
	}
	assert.Contains(t, practice.RuleOf(practice.RuleGuideHoleDepth).Why, "asks for more")
	assert.Contains(t, practice.RuleOf(practice.RuleFootingEmbedLeast).Why, "asks for more")
}

// A default of a strength or a load that is not common practice names its source, and
// every rule its reason.
func TestEveryRuleHasAReason(t *testing.T) {
	for _, r := range practice.Rules() {
		assert.NotEmpty(t, r.Why, r.Key)
		assert.NotEmpty(t, r.Source, r.Key)
	}
}
