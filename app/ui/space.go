package ui

import (
	"bytes"
	"encoding/binary"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/window"
	"pegpour/engine/drawing"
)

// ModelFrame is what a picture of a model needs: see [drawing.OwnerModel.Frame].
type ModelFrame = [16 * (2 + 2*drawing.ModelParts)]float32

// Space shows a model on a canvas by web/assets/picture.js, which asks for the matrices of
// each picture and follows fingers between them.
type Space struct {
	// Frame finds the matrices of a look, and gives back the rise that it took.
	Frame func(drawing.OwnerLook, *ModelFrame) float64
	// Told is called with the look when a movement is over.
	Told func(drawing.OwnerLook)
	// Lost is called when the canvas can show nothing, at once or later.
	Lost func()

	Canvas  app.Value
	script  app.Value // while it is on its way
	picture app.Value // nil until the script is there
	ready   func()
	funcs   []app.Func
	frame   ModelFrame
	bytes   bytes.Buffer
}

// Open loads the script and calls ready when a model can be loaded.
func (s *Space) Open(id string, ready func()) {
	document := app.Window().Get("document")
	s.Canvas = document.Call("createElement", "canvas")
	s.Canvas.Set("id", id)
	s.Canvas.Call("setAttribute", "role", "img")
	s.ready = ready
	if app.Window().Get("pegpourPicture").Truthy() {
		s.begin()
		return
	}
	script := document.Call("createElement", "script")
	s.script = script
	script.Set("type", "module")
	script.Set("onload", s.call(func([]app.Value) any { s.begin(); return nil }))
	script.Set("onerror", s.call(func([]app.Value) any { s.lost(); return nil }))
	script.Set("src", document.Get("documentElement").Get("dataset").Get("picture"))
	document.Get("head").Call("appendChild", script)
}

func (s *Space) call(do func([]app.Value) any) app.Func {
	f := app.FuncOf(func(_ app.Value, arguments []app.Value) any { return do(arguments) })
	s.funcs = append(s.funcs, f)
	return f
}

func (s *Space) lost() {
	s.picture = nil
	if s.Lost != nil {
		s.Lost()
	}
}

func (s *Space) begin() {
	if s.ready == nil {
		return // closed before the script came
	}
	made := app.Window().Call("pegpourPicture", s.Canvas,
		s.call(func(a []app.Value) any {
			rise := s.Frame(lookOf(a[0]), &s.frame)
			s.bytes.Reset()
			binary.Write(&s.bytes, binary.LittleEndian, s.frame[:])
			app.CopyBytesToJS(a[1], s.bytes.Bytes())
			return rise
		}),
		s.call(func(a []app.Value) any {
			if s.Told != nil {
				s.Told(lookOf(a[0]))
			}
			return nil
		}),
		s.call(func([]app.Value) any { s.lost(); return nil }))
	if !made.Truthy() {
		s.lost()
		return
	}
	s.picture = made
	s.ready()
}

func lookOf(v app.Value) drawing.OwnerLook {
	f := func(name string) float64 { return v.Get(name).Float() }
	return drawing.OwnerLook{Turn: f("turn"), Rise: f("rise"), Open: f("open"), Zoom: f("zoom"), Right: f("right"), Up: f("up"),
		Shape: f("shape")}
}

// Close gives up what the script holds of the program.
func (s *Space) Close() {
	s.ready, s.Lost, s.Told = nil, nil, nil
	if s.Canvas != nil {
		s.Canvas.Call("remove")
	}
	if s.picture != nil {
		s.picture.Call("close")
		s.picture = nil
	}
	if s.script != nil {
		s.script.Set("onload", nil)
		s.script.Set("onerror", nil)
	}
	for _, f := range s.funcs {
		f.Release()
	}
	s.funcs = nil
}

// Here reports whether pictures are drawn.
func (s *Space) Here() bool { return s.picture != nil }

// Load shows a model. Slider, if it is there, follows the gate; turning says whether fingers
// turn and enlarge the picture.
func (s *Space) Load(m *drawing.OwnerModel, shadows, turning bool, slider app.Value) {
	if s.picture == nil {
		return
	}
	s.picture.Call("load", floats(m.Corners), floats(m.Edges), m.Hidden, shadows, slider, turning)
}

func floats(list []float32) app.Value {
	var b bytes.Buffer
	binary.Write(&b, binary.LittleEndian, list)
	return window.Bytes(b.Bytes())
}

// Aim moves a number of the look to a value within so many milliseconds.
func (s *Space) Aim(name string, to, lasts float64) {
	if s.picture != nil {
		s.picture.Call("aim", name, to, lasts)
	}
}

// Set changes numbers of the look at once.
func (s *Space) Set(changes map[string]any) {
	if s.picture != nil {
		s.picture.Call("set", changes)
	}
}

// Zoom enlarges what is in the middle of the picture.
func (s *Space) Zoom(by float64) {
	if s.picture != nil {
		s.picture.Call("zoom", by)
	}
}

// Look is how the model is looked at now.
func (s *Space) Look() drawing.OwnerLook {
	if s.picture == nil {
		return drawing.OwnerLook{}
	}
	return lookOf(s.picture.Get("look"))
}

// Still is a copy of the picture, a canvas so many pixels wide, over what under paints with
// the pen of a canvas.
func (s *Space) Still(wide int, under func(pen app.Value, wide, high float64)) app.Value {
	f := app.FuncOf(func(_ app.Value, a []app.Value) any {
		under(a[0], a[1].Float(), a[2].Float())
		return nil
	})
	defer f.Release()
	return s.picture.Call("still", wide, f)
}
