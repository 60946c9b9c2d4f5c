package app

import (
	"context"
	"errors"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

// What is done now, what after the page has shown it, and what in the background.

// background runs calls of the store one after another, off the UI goroutine.
// A call that fails stays first in line until retry.
func (w *workspace) background(call func(context.Context) error) {
	w.queue = append(w.queue, call)
	w.tellQueue()
	w.work()
}

// tellQueue says on the page how much is not stored yet, for those who wait for
// it: a test, or a script that closes the page.
func (w *workspace) tellQueue() {
	if !app.IsClient {
		return
	}
	if w.rootData == nil {
		w.rootData = app.Window().Get("document").Get("documentElement").Get("dataset")
	}
	w.rootData.Set("unsaved", len(w.queue))
}

// afterTurn runs f on a goroutine of its own once the browser has had its turn.
// A timer of Go's alone would not do: where a turn takes long, on a slow phone, it
// may be due before the turn ends, and f would then hold up what is to be shown.
// In the page's own callback f does not run either: WebKit, with much to do, was
// seen to leave a transaction begun there without an answer.
func (w *workspace) afterTurn(f func()) {
	if !app.IsClient {
		go f()
		return
	}
	w.awaiting = append(w.awaiting, f)
	if w.onTurn == nil {
		w.onTurn = app.FuncOf(func(app.Value, []app.Value) any {
			waiting := w.awaiting
			w.awaiting = nil
			for _, f := range waiting {
				soon(f)
			}
			return nil
		})
	}
	app.Window().Call("setTimeout", w.onTurn, 0)
}

// soon runs f on a goroutine of its own after what runs now.
func soon(f func()) {
	go func() {
		time.Sleep(time.Millisecond)
		f()
	}()
}

func (w *workspace) work() {
	if w.working || w.unsaved != "" || len(w.queue) == 0 {
		return
	}
	w.working = true
	call, then := w.queue[0], w.afterTurn
	if len(w.queue) > 1 { // many at once, as no one types
		then = soon
	}
	then(func() {
		err := call(context.Background())
		w.dispatch(func(app.Context) {
			w.working = false
			if err != nil {
				w.unsaved = storeWords(err)
				return
			}
			w.queue = w.queue[1:]
			w.tellQueue()
			w.work()
		})
	})
}

// retry tries the call that failed again.
func (w *workspace) retry(ctx app.Context) {
	w.unsaved = ""
	w.work()
	w.refresh(ctx)
}

// settle waits until everything is stored; the update waits for it.
func (w *workspace) settle() error {
	done := make(chan error, 1)
	w.dispatch(func(app.Context) {
		if w.unsaved != "" {
			done <- errors.New(w.unsaved)
			return
		}
		w.background(func(context.Context) error { done <- nil; return nil })
	})
	return <-done
}

// dispatch runs f on the UI goroutine and shows what came of it.
func (w *workspace) dispatch(f func(app.Context)) {
	w.run(func() {
		f(w.screen)
		if !w.quietComes {
			w.refresh(w.screen)
		}
	})
}

// run runs f on the UI goroutine.
func (w *workspace) run(f func()) {
	// Not by way of the screen, which may be gone by then.
	w.screen.Dispatcher().Dispatch(app.Dispatch{Mode: app.Next, Function: func(app.Context) { f() }})
}

// later runs f on the UI goroutine once the page has shown what it is to show
// now.
func (w *workspace) later(f func()) {
	w.screen.Defer(func(app.Context) {
		soon(func() { w.dispatch(func(app.Context) { f() }) })
	})
}

// quietAfter is how long no key was pressed when the screen around the drawing
// follows what was typed.
const quietAfter = 60 * time.Millisecond

// refreshInQuiet shows the screen anew once no key was pressed for a moment, and
// keeps the framework from doing so before: it would draw the whole screen
// before the browser could show the drawing that the key made, and hold up the
// next key.
func (w *workspace) refreshInQuiet(ctx app.Context) {
	if !app.IsClient {
		w.refresh(ctx)
		return
	}
	ctx.PreventUpdate()
	w.quietComes = true
	if w.quiet != nil {
		w.quiet.Reset(quietAfter)
		return
	}
	w.quiet = time.AfterFunc(quietAfter, func() {
		w.run(func() {
			w.quietComes = false
			w.refresh(w.screen)
		})
	})
}

// refresh shows the screen anew.
func (w *workspace) refresh(ctx app.Context) {
	if w.mounted {
		w.screen.Dispatch(func(app.Context) {})
		w.screen.Defer(func(app.Context) { w.fillEntry() })
	}
}
