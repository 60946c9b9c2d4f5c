package editing

import (
	"context"
	"errors"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/turns"
)

// Saver makes the calls of the store one after another, off the goroutine of the
// screens. A call that fails stays first in line until Retry, so that nothing is
// kept that rests on what is not.
type Saver struct {
	*turns.Turns

	Unsaved string // why the call that is first in line failed; "" when none did

	say      func(error) string // in words
	queue    []func(context.Context) error
	working  bool
	rootData app.Value // the data- attributes of the page's root, once used
}

// NewSaver returns a Saver that puts failures into words with say.
func NewSaver(t *turns.Turns, say func(error) string) *Saver { return &Saver{Turns: t, say: say} }

// Background has a call of the store made after those that wait already. The store
// is never called inside a handler, which would wait for itself.
func (s *Saver) Background(call func(context.Context) error) {
	s.queue = append(s.queue, call)
	s.TellWaiting()
	s.work()
}

// Waiting is how many calls wait or are being made.
func (s *Saver) Waiting() int { return len(s.queue) }

// TellWaiting says on the page how much is not stored yet: the mark beside a value
// shows it, and those wait for it who close the page. The page's own script says
// "typed" there before the program hears of a key.
func (s *Saver) TellWaiting() {
	if !app.IsClient {
		return
	}
	if s.rootData == nil {
		s.rootData = app.Window().Get("document").Get("documentElement").Get("dataset")
	}
	s.rootData.Set("unsaved", len(s.queue))
}

func (s *Saver) work() {
	if s.working || s.Unsaved != "" || len(s.queue) == 0 {
		return
	}
	s.working = true
	call, then := s.queue[0], s.AfterTurn
	if len(s.queue) > 1 { // many at once, as no one types
		then = turns.Soon
	}
	then(func() {
		err := call(context.Background())
		s.Dispatch(func(app.Context) {
			s.working = false
			if err != nil {
				s.Fail(err)
				return
			}
			s.queue = s.queue[1:]
			s.TellWaiting()
			s.work()
		})
	})
}

// Fail says on the screen why something is not kept.
func (s *Saver) Fail(err error) { s.Unsaved = s.say(err) }

// Retry makes the call that failed again, and then those behind it.
func (s *Saver) Retry(ctx app.Context) {
	s.Unsaved = ""
	s.work()
	s.Refresh(ctx)
}

// WaitUntilSaved returns when everything is stored that was to be when it was
// called, or why it is not. It is called off the goroutine of the screens.
func (s *Saver) WaitUntilSaved() error {
	done := make(chan error, 1)
	s.Dispatch(func(app.Context) {
		if s.Unsaved != "" {
			done <- errors.New(s.Unsaved)
			return
		}
		s.Background(func(context.Context) error { done <- nil; return nil })
	})
	return <-done
}
