package passing

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/window"
	"pegpour/storage/row"
)

// showing is a row on the screen.
type showing struct {
	row     *row.Row
	squares *Squares
	every   int    // milliseconds a picture
	next    uint32 // the picture that comes

	bytes                          []byte // of the pixels
	canvas, context, image, pixels app.Value
	ticker                         app.Func
	timer                          app.Value
	lock                           app.Value // keeps the screen on
	stopped                        bool
}

// run shows one picture after another once the canvas stands on the page.
func (s *showing) run() {
	if !app.IsClient || s.stopped || s.ticker != nil {
		return
	}
	page := app.Window()
	if s.canvas = page.GetElementByID("row-picture"); !s.canvas.Truthy() {
		return
	}
	side := s.squares.Side
	s.context = s.canvas.Call("getContext", "2d")
	s.image = s.context.Call("createImageData", side, side)
	s.pixels = s.image.Get("data")
	s.bytes = make([]byte, 4*side*side)
	s.ticker = app.FuncOf(func(app.Value, []app.Value) any {
		s.tick()
		return nil
	})
	s.timer = page.Call("setInterval", s.ticker, s.every)
	s.tick()
	s.keepOn()
	page.GetElementByID("stop-row").Call("focus")
}

func (s *showing) tick() {
	if s.stopped || s.squares.Draw(s.row.Picture(s.next), s.bytes) != nil { // it fits: see row.New
		return
	}
	app.CopyBytesToJS(s.pixels, s.bytes)
	s.context.Call("putImageData", s.image, 0, 0)
	s.canvas.Get("dataset").Set("number", strconv.FormatUint(uint64(s.next), 10))
	s.next++
}

// keepOn keeps the screen from going dark, where the browser can.
func (s *showing) keepOn() {
	locks := app.Window().Get("navigator").Get("wakeLock")
	if !locks.Truthy() {
		return
	}
	window.Await(locks.Call("request", "screen"), func(lock app.Value) {
		if s.lock = lock; s.stopped {
			lock.Call("release")
		}
	}, func(app.Value) {})
}

func (s *showing) stop() {
	s.stopped = true
	if s.ticker != nil {
		app.Window().Call("clearInterval", s.timer)
		s.ticker.Release()
	}
	if s.lock != nil {
		s.lock.Call("release")
	}
}
