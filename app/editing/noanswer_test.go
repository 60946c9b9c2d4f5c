package editing

import (
	"context"
	"testing"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"

	"pegpour/app/language"
	"pegpour/app/turns/turnstest"
	"pegpour/storage"
)

// A store that does not answer is said, once it has taken too long, and no more said when
// it answers after all.
func TestAStoreThatDoesNotAnswerIsSaid(t *testing.T) {
	stage := turnstest.New(t)
	answer := make(chan storage.Store)
	d := NewDevice(stage.Turns, &language.Speaker{}, func(context.Context) (storage.Store, error) { return <-answer, nil })
	var late func()
	d.after = func(wait time.Duration, f func()) func() bool {
		assert.Equal(t, answerWithin, wait)
		late = f
		return func() bool { return true }
	}
	opened := false
	d.WithStore(func(app.Context) { opened = true })
	stage.Rest()
	assert.Empty(t, d.Failure)
	late()
	stage.Until("said", func() bool { return d.Failure != "" })
	assert.Contains(t, d.Failure, "does not answer")
	answer <- storage.NewStore(&storage.Memory{}, Now)
	stage.Until("opened", func() bool { return opened })
	assert.Empty(t, d.Failure)
	late() // the timer that was not stopped in time
	stage.Rest()
	assert.Empty(t, d.Failure)
}
