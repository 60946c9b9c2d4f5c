// Package turns says when things are done: now, after the page has shown what was
// done now, once the keys pause, or off the goroutine of the screens.
//
// Decision: a keystroke is drawn first, shown, and stored after. The framework
// would draw the whole screen in the turn of the key, which at a quarter of the
// processor's speed kept the picture back for some 40 ms and held up the next key.
// So the screen around the drawing follows once no key was pressed for a moment
// (RefreshInQuiet), and the store waits for the end of the browser's turn
// (AfterTurn). It would change if the framework drew what changed and no more.
package turns

import (
	"context"
	"runtime"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

// quietAfter is how long no key was pressed when the screen around the drawing
// follows what was typed.
const quietAfter = 60 * time.Millisecond

// InTurns runs functions on the goroutine of the screens, each in a turn of the browser's
// own, as long as they say to go on, and shows the screen after the last.
func (t *Turns) InTurns(do ...func(app.Context) bool) {
	t.AfterTurn(func() {
		if len(do) == 1 {
			t.Dispatch(func(ctx app.Context) { do[0](ctx) })
			return
		}
		t.Run(func() {
			if do[0](t.Screen) {
				t.InTurns(do[1:]...)
			} else {
				t.Refresh(t.Screen)
			}
		})
	})
}

// share is how long work in steps goes on before the browser has its turn.
const share = 12 * time.Millisecond

// Turns runs functions in their turn for the screen that is shown. It is touched
// on the goroutine of the screens only.
type Turns struct {
	// Screen is the screen shown last. It may be gone.
	Screen app.Context
	// Shown hears of each drawing of the screen; it may be nil.
	Shown func()

	mounted bool // the screen is on the page

	quiet      *time.Timer // see RefreshInQuiet
	quietComes bool

	awaiting []func() // see AfterTurn
	onTurn   app.Func
}

// Enter is called by each screen when it is shown.
func (t *Turns) Enter(screen app.Context) { t.Screen, t.mounted = screen, true }

// Leave is called by a screen when it is left.
func (t *Turns) Leave() { t.mounted = false }

// Dispatch runs f on the goroutine of the screens and shows what came of it.
func (t *Turns) Dispatch(f func(app.Context)) {
	t.Run(func() {
		f(t.Screen)
		if !t.quietComes {
			t.Refresh(t.Screen)
		}
	})
}

// Run runs f on the goroutine of the screens.
func (t *Turns) Run(f func()) {
	// Not by way of the screen, which may be gone by then.
	t.Screen.Dispatcher().Dispatch(app.Dispatch{Mode: app.Next, Function: func(app.Context) { f() }})
}

// Later runs f on the goroutine of the screens once the page has shown what it is
// to show now.
func (t *Turns) Later(f func()) {
	t.Screen.Defer(func(app.Context) {
		Soon(func() { t.Dispatch(func(app.Context) { f() }) })
	})
}

// Refresh shows the screen anew.
func (t *Turns) Refresh(app.Context) {
	if !t.mounted {
		return
	}
	t.Screen.Dispatch(func(app.Context) {})
	t.Screen.Defer(func(app.Context) {
		if t.Shown != nil {
			t.Shown()
		}
	})
}

// RefreshInQuiet shows the screen anew once no key was pressed for a moment, and
// keeps the framework from doing so before: it would draw the whole screen before
// the browser could show the drawing that the key made, and hold up the next key.
func (t *Turns) RefreshInQuiet(ctx app.Context) {
	if !app.IsClient {
		t.Refresh(ctx)
		return
	}
	ctx.PreventUpdate()
	t.quietComes = true
	if t.quiet != nil {
		t.quiet.Reset(quietAfter)
		return
	}
	t.quiet = time.AfterFunc(quietAfter, func() {
		t.Run(func() {
			t.quietComes = false
			t.Refresh(t.Screen)
		})
	})
}

// AfterTurn runs f on a goroutine of its own once the browser has had its turn. A
// timer of Go's alone would not do: where a turn takes long, on a slow phone, it
// may be due before the turn ends, and f would then hold up what is to be shown.
// In the page's own callback f does not run either: WebKit, with much to do, was
// seen to leave a transaction begun there without an answer.
func (t *Turns) AfterTurn(f func()) {
	if !app.IsClient {
		go f()
		return
	}
	t.awaiting = append(t.awaiting, f)
	if t.onTurn == nil {
		t.onTurn = app.FuncOf(func(app.Value, []app.Value) any {
			waiting := t.awaiting
			t.awaiting = nil
			for _, f := range waiting {
				Soon(f)
			}
			return nil
		})
	}
	app.Window().Call("setTimeout", t.onTurn, 0)
}

// InSteps runs f on a goroutine of its own once the page has shown what it is to show now.
// f calls pause between its steps, which lets the browser have its turn, and ends f there
// when c is done. A timer of Go's would not do for that, see AfterTurn: beside a collection of
// garbage it was due at once, and the steps of a second were one task.
func (t *Turns) InSteps(c context.Context, f func(pause func())) {
	t.AfterTurn(func() {
		begun, turn := time.Now(), make(chan struct{}, 1)
		var onTurn app.Func
		if app.IsClient {
			onTurn = app.FuncOf(func(app.Value, []app.Value) any {
				turn <- struct{}{}
				return nil
			})
			defer onTurn.Release()
		}
		f(func() {
			if app.IsClient && time.Since(begun) > share && c.Err() == nil {
				app.Window().Call("setTimeout", onTurn, 0)
				<-turn
				begun = time.Now()
			}
			if c.Err() != nil { // also when it was done in that turn
				runtime.Goexit()
			}
		})
	})
}

// Soon runs f on a goroutine of its own after what runs now.
func Soon(f func()) {
	go func() {
		time.Sleep(time.Millisecond)
		f()
	}()
}
