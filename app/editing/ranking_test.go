package editing

import (
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"pegpour/engine/advice"
)

// What is worth measuring is worked out design by design, and nothing is said of it
// before all is; an edit in between ends the work.
func TestWorthMeasuringIsWorkedOutInSteps(t *testing.T) {
	b := openBench(t)
	designs := 0
	report := advice.ConfidenceInSteps(b.Survey(), b.Practice, *b.Plan(), func() { designs++ })
	most, least := advice.StillAssumed(b.Plan(), &report)
	assert.Greater(t, designs, 20)

	steps, next := 0, make(chan struct{})
	b.Rank(func() {
		steps++
		<-next
	})
	for range designs {
		b.Now()
		_, _, known := b.StillAssumed()
		assert.False(t, known)
		next <- struct{}{}
	}
	known := false
	b.Until("it is known what is worth measuring", func() bool {
		_, _, known = b.StillAssumed()
		return known
	})
	assert.Equal(t, designs, steps)
	matter, idle, _ := b.StillAssumed()
	assert.Equal(t, append(most, least...), append(matter, idle...))
	b.Rank(func() { assert.Fail(t, "it was worked out already") })
	b.Rest()

	b.Design()
	_, _, known = b.StillAssumed()
	assert.False(t, known)
	var done atomic.Int32
	begun := make(chan struct{})
	b.Rank(func() {
		if done.Add(1) == 1 {
			close(begun)
			<-next
		}
	})
	<-begun
	b.Design()
	close(next)
	b.Rest()
	time.Sleep(50 * time.Millisecond)
	assert.EqualValues(t, 1, done.Load(), "an edit ends it")
	_, _, known = b.StillAssumed()
	assert.False(t, known)
}
