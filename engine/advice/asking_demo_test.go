package advice_test

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"pegpour/engine/advice"
	"pegpour/engine/practice"
	"pegpour/storage/demo"
)

// TestWhatIsLeftOutChangesNothing for the demo sites, which have grounds,
// networks and edges that the random sites have not.
func TestWhatIsLeftOutOfTheDemosChangesNothing(t *testing.T) {
	p := practice.DefaultPractice()
	tried := 0
	for i, site := range demo.Sites() {
		for seed := range uint64(6) {
			r := rand.New(rand.NewPCG(uint64(i), seed))
			s := site.Survey.Clone()
			if seed > 0 { // the first time with all its answers
				advice.ForgetSome(t, &s, r)
			}
			if tried += advice.LeftOutIsIdle(t, s, p, r,
				site.Survey.Site.Name+", seed "+strconv.FormatUint(seed, 10)); t.Failed() {
				return
			}
		}
	}
	assert.Greater(t, tried, 100, "hardly any question was left out")
}
