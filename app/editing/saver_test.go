package editing

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/turns/turnstest"
)

func newSaver(t *testing.T) (*turnstest.Stage, *Saver) {
	t.Helper()
	stage := turnstest.New(t)
	return stage, NewSaver(stage.Turns, func(err error) string { return "not kept: " + err.Error() })
}

func TestSavesAreMadeOneAfterAnother(t *testing.T) {
	stage, saver := newSaver(t)
	var made []int
	running := false
	for i := range 20 {
		saver.Background(func(context.Context) error {
			assert.False(t, running, "two at once")
			running = true
			made = append(made, i)
			running = false
			return nil
		})
	}
	assert.Equal(t, 20, saver.Waiting())
	stage.Until("all saved", func() bool { return saver.Waiting() == 0 })
	for i := range made {
		assert.Equal(t, i, made[i])
	}
	assert.Len(t, made, 20)
	assert.Empty(t, saver.Unsaved)
}

// Nothing is stored inside the turn that asked for it: the page shows what was
// typed first.
func TestNothingIsSavedInTheTurnThatAsksForIt(t *testing.T) {
	stage, saver := newSaver(t)
	called := make(chan bool, 1)
	inTurn := true
	release := make(chan struct{})
	saver.Background(func(context.Context) error {
		<-release
		called <- inTurn
		return nil
	})
	select {
	case <-called:
		t.Fatal("called while the turn went on")
	default:
	}
	inTurn = false
	close(release)
	stage.Until("saved", func() bool { return saver.Waiting() == 0 })
	assert.False(t, <-called)
}

func TestASaveAskedForByASaveComesBehindThoseThatWait(t *testing.T) {
	stage, saver := newSaver(t)
	var made []string
	note := func(name string, then func()) {
		saver.Background(func(context.Context) error {
			made = append(made, name)
			if then != nil {
				stage.Turns.Run(then)
			}
			return nil
		})
	}
	note("first", func() { note("asked for by the first", nil) })
	note("second", nil)
	stage.Until("all saved", func() bool { return len(made) == 3 && saver.Waiting() == 0 })
	assert.Equal(t, []string{"first", "second", "asked for by the first"}, made)
}

// What rests on a change that is not kept waits with it; once there is room both
// are kept, in order.
func TestWhatFailsHoldsBackWhatRestsOnIt(t *testing.T) {
	stage, saver := newSaver(t)
	full := true
	tries := 0
	var made []string
	saver.BackgroundOf("site", func(context.Context) error {
		tries++
		if full {
			return errors.New("no room")
		}
		made = append(made, "first")
		return nil
	})
	saver.BackgroundOf("site", func(context.Context) error {
		made = append(made, "second")
		return nil
	})
	stage.Until("the failure", func() bool { return saver.Unsaved != "" })
	assert.Equal(t, "not kept: no room", saver.Unsaved)
	stage.Rest()
	assert.Equal(t, 1, tries, "it is not tried again by itself")
	assert.Empty(t, made)
	assert.Equal(t, 2, saver.Waiting())

	saver.BackgroundOf("site", func(context.Context) error { // typed meanwhile
		made = append(made, "third")
		return nil
	})
	stage.Rest()
	assert.Empty(t, made)

	saver.Retry(stage)
	stage.Until("it fails again", func() bool { return saver.Unsaved != "" })
	assert.Equal(t, 2, tries)

	full = false
	saver.Retry(stage)
	assert.Empty(t, saver.Unsaved, "the bar is gone while it is tried")
	stage.Until("all saved", func() bool { return saver.Waiting() == 0 })
	assert.Equal(t, []string{"first", "second", "third"}, made)
}

// Whichever of the calls fails, and however often, each is made once for good and
// in order.
func TestEachSaveFailsInTurn(t *testing.T) {
	for fails := range 5 {
		t.Run(fmt.Sprint("call ", fails), func(t *testing.T) {
			stage, saver := newSaver(t)
			var made []int
			left := 3
			for i := range 5 {
				saver.BackgroundOf("site", func(context.Context) error {
					if i == fails && left > 0 {
						left--
						return errors.New("fault")
					}
					made = append(made, i)
					return nil
				})
			}
			for range 3 {
				stage.Until("the failure", func() bool { return saver.Unsaved != "" })
				require.Equal(t, 5-fails, saver.Waiting())
				saver.Retry(stage)
			}
			stage.Until("all saved", func() bool { return saver.Waiting() == 0 })
			assert.Equal(t, []int{0, 1, 2, 3, 4}, made)
		})
	}
}

// A call of no site that fails holds up nothing but itself: sites still open.
func TestAFailingCallOfNoSiteHoldsUpItselfOnly(t *testing.T) {
	stage, saver := newSaver(t)
	full := true
	saver.Background(func(context.Context) error {
		if full {
			return errors.New("no room")
		}
		return nil
	})
	stage.Until("the failure", func() bool { return saver.Unsaved != "" })
	opened := false
	saver.Background(func(context.Context) error { opened = true; return nil })
	stage.Until("another is made", func() bool { return saver.Waiting() == 1 })
	assert.True(t, opened)
	full = false
	saver.Retry(stage)
	stage.Until("all saved", func() bool { return saver.Waiting() == 0 })
	assert.Empty(t, saver.Unsaved)
}

// The update of the program waits for what is being stored.
func TestWaitingUntilSaved(t *testing.T) {
	stage, saver := newSaver(t)
	release := make(chan struct{})
	stored := false
	saver.Background(func(context.Context) error {
		<-release
		stored = true
		return nil
	})
	done := make(chan error, 1)
	go func() { done <- saver.WaitUntilSaved() }()
	stage.Rest()
	select {
	case <-done:
		t.Fatal("it did not wait")
	default:
	}
	close(release)
	var err error
	ended := false
	stage.Until("the wait ends", func() bool {
		select {
		case err = <-done:
			ended = true
		default:
		}
		return ended
	})
	assert.NoError(t, err)
	assert.True(t, stored)
}

func TestWaitingUntilSavedSaysWhatIsNot(t *testing.T) {
	stage, saver := newSaver(t)
	saver.Background(func(context.Context) error { return errors.New("no room") })
	stage.Until("the failure", func() bool { return saver.Unsaved != "" })
	done := make(chan error, 1)
	go func() { done <- saver.WaitUntilSaved() }()
	var err error
	stage.Until("the wait ends", func() bool {
		select {
		case err = <-done:
			return true
		default:
			return false
		}
	})
	assert.EqualError(t, err, "not kept: no room")
}
