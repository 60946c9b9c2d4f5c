// Package turnstest stands in for the framework, so that what the screens do in
// their turns is tested without a browser: what they put off is done in order, by
// the test, when it asks for it.
package turnstest

import (
	"net/url"
	"testing"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/turns"
)

// patience is how long a Stage waits for what a test expects.
const patience = 10 * time.Second

// Stage is a screen of a page that is not there. What is dispatched to it waits
// until the test calls Until; all of it runs on the goroutine of the test.
type Stage struct {
	app.Context // nil: what a test does not expect to be called panics

	// Turns are those of the page, with this screen shown.
	Turns *turns.Turns
	// Visited are the addresses that were navigated to.
	Visited []string

	t       testing.TB
	address url.URL
	waiting chan func(app.Context)
}

// New returns a Stage that is shown.
func New(t testing.TB) *Stage {
	s := &Stage{Turns: &turns.Turns{}, t: t, waiting: make(chan func(app.Context), 1000)}
	s.Turns.Enter(s)
	return s
}

// GoTo changes the address of the page.
func (s *Stage) GoTo(path string) { s.address.Path = path }

// Until does what waits, in order, until done says that it is enough.
func (s *Stage) Until(what string, done func() bool) {
	s.t.Helper()
	late := time.After(patience)
	for !done() {
		select {
		case f := <-s.waiting:
			f(s)
		case <-time.After(time.Millisecond):
			// what is waited for may happen elsewhere
		case <-late:
			s.t.Fatalf("waited in vain: %s", what)
		}
	}
}

// Rest does what waits, until nothing more comes for a moment.
func (s *Stage) Rest() {
	for {
		select {
		case f := <-s.waiting:
			f(s)
		case <-time.After(20 * time.Millisecond):
			return
		}
	}
}

// Now does what waits already, and waits for nothing.
func (s *Stage) Now() {
	for {
		select {
		case f := <-s.waiting:
			f(s)
		default:
			return
		}
	}
}

// Dispatch implements app.Context.
func (s *Stage) Dispatch(f func(app.Context)) { s.waiting <- f }

// Defer implements app.Context.
func (s *Stage) Defer(f func(app.Context)) { s.waiting <- f }

// Navigate implements app.Context.
func (s *Stage) Navigate(address string) { s.Visited = append(s.Visited, address) }

// Page implements app.Context.
func (s *Stage) Page() app.Page { return page{address: &s.address} }

// Dispatcher implements app.Context.
func (s *Stage) Dispatcher() app.Dispatcher { return dispatcher{stage: s} }

type page struct {
	app.Page
	address *url.URL
}

func (p page) URL() *url.URL { return p.address }

type dispatcher struct {
	app.Dispatcher
	stage *Stage
}

func (d dispatcher) Dispatch(what app.Dispatch) { d.stage.waiting <- what.Function }
