package sheets

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// No sheet of a leaf that hangs free tells of a track, a strip or a wheel, for any
// reader, on level ground and on a slope; the labourer's has the block's top and the gap.
func TestSheetsOfAHangingLeaf(t *testing.T) {
	level, slope := enginetest.HangingSite(), enginetest.HangingSite()
	sloping := enginetest.SlopingSite(0.03, 0.01)
	slope.Ground.Shape, slope.Ground.Levels = sloping.Ground.Shape, sloping.Ground.Levels
	wrong := regexp.MustCompile(`(?i)\b(tracks?|strips?|wheels?)\b`)
	allowed := regexp.MustCompile(`than on\s+wheels|a track across the drive`)
	rules := practice.DefaultPractice()
	for name, s := range map[string]survey.Survey{"level": level, "slope": slope} {
		made, err := engine.Design(s, rules)
		require.NoError(t, err)
		i := Issue{Plan: &made, Survey: &s, Practice: &rules, Units: "mm", Plain: true,
			Date: time.Date(2025, 3, 14, 9, 0, 0, 0, time.UTC)}
		for _, r := range Readers() {
			out, err := For(r, i)
			require.NoError(t, err)
			words := wordsOf(t, out)
			for _, line := range strings.Split(allowed.ReplaceAllString(words, ""), "\n") {
				assert.False(t, wrong.MatchString(line), "%s, %s: %s", name, r, line)
			}
			if r == "labourer" {
				told := strings.Join(strings.Fields(words), " ")
				assert.Contains(t, told, "Level of the top of the block")
				assert.Contains(t, told, "Gap under the shut leaf")
			}
		}
	}
}
