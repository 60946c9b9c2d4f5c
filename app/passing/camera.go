package passing

import (
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/window"
)

// noCamera is why a camera's pictures do not come.
type noCamera int

const (
	cameraNone    noCamera = iota + 1 // there is none, or the page may not ask
	cameraRefused                     // somebody said no
	cameraBusy                        // another program has it
	readerNone                        // what reads the codes could not be loaded
)

// Of the camera's pictures.
const (
	cameraWide, cameraHigh = 1920, 1080 // pixels that are asked for
	lookEvery              = 40         // milliseconds, where the browser does not say when one comes
	readers                = 2          // workers: a cheap phone's processors are slow, and many
)

// camera reads the codes in what a camera sees.
type camera struct {
	seen   func(codes [][]byte) // called on the page's goroutine
	failed func(noCamera)

	video, stream app.Value
	onFrame       app.Func
	readers       [readers]reader
	stopped       bool
}

// reader is a worker that reads one picture at a time.
type reader struct {
	worker             app.Value
	onMessage, onError app.Func
	busy               bool
}

// open asks for the camera, from within a tap.
func (c *camera) open(video app.Value) {
	devices := app.Window().Get("navigator").Get("mediaDevices")
	script := app.Window().Get("document").Get("documentElement").Get("dataset").Get("reader")
	switch {
	case !devices.Truthy():
		c.failed(cameraNone)
		return
	case !script.Truthy() || !app.Window().Get("OffscreenCanvas").Truthy(): // browsers before 2023
		c.failed(readerNone)
		return
	}
	c.video = video
	for i := range c.readers {
		c.startReader(&c.readers[i], script.String())
	}
	window.Await(devices.Call("getUserMedia", map[string]any{"audio": false, "video": map[string]any{
		"facingMode": map[string]any{"ideal": "environment"}, "width": map[string]any{"ideal": cameraWide},
		"height": map[string]any{"ideal": cameraHigh}, "frameRate": map[string]any{"ideal": 30},
	}}), c.begin, func(fault app.Value) {
		switch why := fault.Get("name").String(); why {
		case "NotAllowedError", "SecurityError":
			c.failed(cameraRefused)
		case "NotReadableError", "AbortError":
			c.failed(cameraBusy)
		default:
			c.failed(cameraNone)
		}
	})
}

func (c *camera) startReader(r *reader, script string) {
	r.worker = app.Window().Get("Worker").New(script)
	r.onMessage = app.FuncOf(func(_ app.Value, arguments []app.Value) any {
		r.busy = false
		c.read(arguments[0].Get("data"))
		return nil
	})
	r.onError = app.FuncOf(func(app.Value, []app.Value) any {
		if !c.stopped {
			c.failed(readerNone)
		}
		return nil
	})
	r.worker.Set("onmessage", r.onMessage)
	r.worker.Set("onerror", r.onError)
}

// read takes what a reader found in one picture.
func (c *camera) read(answer app.Value) {
	if c.stopped {
		return
	}
	if answer.Get("error").Truthy() {
		c.failed(readerNone)
		return
	}
	list := answer.Get("codes")
	var codes [][]byte
	for i := range list.Length() {
		code := list.Index(i)
		b := make([]byte, code.Length())
		app.CopyBytesToGo(b, code)
		codes = append(codes, b)
	}
	if len(codes) > 0 {
		c.seen(codes)
	}
}

// begin shows what the camera sees, and looks at it.
func (c *camera) begin(stream app.Value) {
	if c.stream = stream; c.stopped {
		c.letGo()
		return
	}
	c.video.Set("srcObject", stream)
	window.Await(c.video.Call("play"), func(app.Value) {}, func(app.Value) {})
	c.onFrame = app.FuncOf(func(app.Value, []app.Value) any {
		if !c.stopped {
			c.look()
			c.wait()
		}
		return nil
	})
	c.wait()
}

// wait has look called with the next picture.
func (c *camera) wait() {
	if c.video.Get("requestVideoFrameCallback").Truthy() {
		c.video.Call("requestVideoFrameCallback", c.onFrame)
		return
	}
	app.Window().Call("setTimeout", c.onFrame, lookEvery)
}

// look hands the middle of what the camera sees to a reader, if one is free.
func (c *camera) look() {
	wide, high := c.video.Get("videoWidth").Int(), c.video.Get("videoHeight").Int()
	free := slices.IndexFunc(c.readers[:], func(r reader) bool { return !r.busy })
	if free < 0 || wide == 0 || high == 0 {
		return
	}
	r := &c.readers[free]
	r.busy = true
	side := min(wide, high)
	left, top := (wide-side)/2, (high-side)/2
	window.Await(app.Window().Call("createImageBitmap", c.video, left, top, side, side), func(picture app.Value) {
		if !c.stopped {
			r.worker.Call("postMessage", map[string]any{"picture": picture}, window.Array(picture))
		}
	}, func(app.Value) { r.busy = false })
}

// stop lets the camera go.
func (c *camera) stop() {
	if c.stopped {
		return
	}
	c.stopped = true
	c.letGo()
	for _, r := range c.readers {
		if r.worker != nil {
			r.worker.Call("terminate")
			r.onMessage.Release()
			r.onError.Release()
		}
	}
	// A frame may still be announced: its function stays.
}

func (c *camera) letGo() {
	if c.stream == nil {
		return
	}
	tracks := c.stream.Call("getTracks")
	for i := range tracks.Length() {
		tracks.Index(i).Call("stop")
	}
	c.video.Set("srcObject", nil)
}
