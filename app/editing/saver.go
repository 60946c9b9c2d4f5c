package editing

import (
	"context"
	"errors"
	"slices"
	"strconv"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/turns"
	"pegpour/storage"
)

// Saver makes the calls of the store one after another, off the goroutine of the
// screens, in the order in which they were asked for. A call that fails and may
// succeed later keeps back those of its site only, and is made again by itself
// after a wait that grows, or at Retry. One that never can is set aside with what it
// was to store, said, and the rest goes on.
type Saver struct {
	*turns.Turns

	Unsaved string // why a call failed last; "" when none did
	// Asides are changes that can never be stored as they are, the first first.
	Asides []Aside

	say      func(error) string // in words
	queue    []*waiting
	holds    map[string]*hold // by site
	alone    int              // calls of no site so far
	working  bool
	aside    bool      // the page shows what another Saver stores
	rootData app.Value // the data- attributes of the page's root, once used

	keepAside func(context.Context, Aside) error                    // may be nil: then it is kept on the page only
	changed   func()                                                // hears of each change of what waits; may be nil
	emptied   func(site string)                                     // hears when nothing of a site waits any more; may be nil
	wasAside  func(site string)                                     // hears when a change was set aside; may be nil
	after     func(wait time.Duration, f func()) (stop func() bool) // a timer
}

// waiting is a call that waits or is being made.
type waiting struct {
	site string // whose it is; one of its own for those of none
	call func(context.Context) error
	edit func() (storage.Edit, error) // what it stores; nil where nothing is lost with it
}

// hold is a site whose first call failed and is made again later.
type hold struct {
	fails int
	stop  func() bool // the timer; nil while the call is due
}

// NewSaver returns a Saver that puts failures into words with say.
func NewSaver(t *turns.Turns, say func(error) string) *Saver {
	return &Saver{Turns: t, say: say, holds: map[string]*hold{},
		after: func(wait time.Duration, f func()) func() bool { return time.AfterFunc(wait, f).Stop }}
}

// Background has a call of the store made after those that wait already. The store
// is never called inside a handler, which would wait for itself.
//
// A call of no site that fails holds up nothing but itself.
func (s *Saver) Background(call func(context.Context) error) {
	s.alone++
	s.add(&waiting{site: "alone " + strconv.Itoa(s.alone), call: call})
}

// BackgroundOf is Background for what belongs to a site: it waits where an earlier
// call of that site waits.
func (s *Saver) BackgroundOf(site string, call func(context.Context) error) {
	s.add(&waiting{site: site, call: call})
}

// store is BackgroundOf for a call that stores an edit, so that the edit is not
// lost whatever becomes of the call.
func (s *Saver) store(site string, edit func() (storage.Edit, error), call func(context.Context) error) {
	s.add(&waiting{site, call, edit})
}

func (s *Saver) add(w *waiting) {
	s.queue = append(s.queue, w)
	s.noteWaiting()
	s.work()
}

// Waiting is how many calls wait or are being made.
func (s *Saver) Waiting() int { return len(s.queue) }

// WaitingOf is how many of a site wait or are being made.
func (s *Saver) WaitingOf(site string) int {
	n := 0
	for _, w := range s.queue {
		if w.site == site {
			n++
		}
	}
	return n
}

// WaitsOf are the sites of which something waits or is being made.
func (s *Saver) WaitsOf() map[string]bool {
	sites := map[string]bool{}
	for _, w := range s.queue {
		sites[w.site] = true
	}
	return sites
}

// noteWaiting is called when what waits has changed.
func (s *Saver) noteWaiting() {
	if s.changed != nil {
		s.changed()
	}
	s.TellWaiting()
}

// TellWaiting says on the page how much is not stored yet: the mark beside a value
// shows it, and those wait for it who close the page. The page's own script says
// "typed" there before the program hears of a key.
func (s *Saver) TellWaiting() {
	if !app.IsClient || s.aside {
		return
	}
	if s.rootData == nil {
		s.rootData = app.Window().Get("document").Get("documentElement").Get("dataset")
	}
	s.rootData.Set("unsaved", len(s.queue))
}

// next is the first call that is not kept back; nil when all are.
func (s *Saver) next() *waiting {
	for _, w := range s.queue {
		if h := s.holds[w.site]; h == nil || h.stop == nil {
			return w
		}
	}
	return nil
}

func (s *Saver) work() {
	w := s.next()
	if s.working || w == nil {
		return
	}
	s.working = true
	then := s.AfterTurn
	if len(s.queue) > 1 { // many at once, as no one types
		then = turns.Soon
	}
	then(func() {
		err := w.call(context.Background())
		var aside *Aside
		if err != nil && storage.Final(err) && w.edit != nil {
			if a, ok := asideOf(w, err); ok {
				aside = &a
				if err = nil; s.keepAside != nil {
					err = s.keepAside(context.Background(), a)
				}
			}
		}
		s.Dispatch(func(app.Context) {
			s.working = false
			switch {
			case err != nil && !storage.Final(err):
				s.holdBack(w.site)
				s.Fail(err)
			case err != nil:
				s.done(w)
				s.Fail(err) // nothing was typed for it; it is said, and the rest goes on
			default:
				if aside != nil {
					s.Asides = append(s.Asides, *aside)
					if s.wasAside != nil {
						s.wasAside(aside.Site)
					}
				}
				s.done(w)
			}
			s.work()
		})
	})
}

// done takes a call out that needs not be made again.
func (s *Saver) done(w *waiting) {
	if s.holds[w.site] != nil {
		delete(s.holds, w.site)
		if len(s.holds) == 0 {
			s.Unsaved = ""
		}
	}
	s.queue = slices.DeleteFunc(s.queue, func(o *waiting) bool { return o == w })
	s.noteWaiting()
	if s.emptied != nil && s.WaitingOf(w.site) == 0 {
		s.emptied(w.site)
	}
}

// longestWait is the longest time until a failed call is made again.
const longestWait = time.Minute

// holdBack keeps a site's calls back for a time that doubles with each failure.
func (s *Saver) holdBack(site string) {
	h := s.holds[site]
	if h == nil {
		h = &hold{}
		s.holds[site] = h
	}
	h.fails++
	h.stop = s.after(min(time.Second<<min(h.fails, 10), longestWait), func() {
		s.Run(func() {
			if s.holds[site] == h {
				h.stop = nil
				s.work()
			}
		})
	})
	s.noteWaiting()
}

// Fail says on the screen why something is not kept.
func (s *Saver) Fail(err error) { s.Unsaved = s.say(err) }

// Retry makes at once what failed, and then what waits behind it. Should it fail again, the
// waits begin anew with the shortest: a browser may need a moment to see that there is room.
func (s *Saver) Retry(ctx app.Context) {
	s.Unsaved = ""
	for _, h := range s.holds {
		h.fails = 0
		if h.stop != nil {
			h.stop()
			h.stop = nil
		}
	}
	s.work()
	s.Refresh(ctx)
}

// WaitUntilSaved returns when everything is stored that was to be when it was
// called, or why it is not. It is called off the goroutine of the screens.
func (s *Saver) WaitUntilSaved() error {
	done := make(chan error, 1)
	settled := func() bool {
		if len(s.holds) == 0 {
			return false
		}
		done <- errors.New(s.Unsaved)
		return true
	}
	s.Dispatch(func(app.Context) {
		if settled() {
			return
		}
		s.Background(func(context.Context) error {
			s.Run(func() {
				if !settled() {
					done <- nil
				}
			})
			return nil
		})
	})
	return <-done
}
