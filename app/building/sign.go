package building

import (
	"cmp"
	"math"
	"slices"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/engine/handover"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// today is the day as the device's clock has it.
func today() string { return time.Now().Format(time.DateOnly) }

// Pad is a field on which somebody signs.
type Pad struct {
	site   *editing.Site
	id     string
	keep   func(ctx app.Context, strokes string)
	signed string // as it was shown last

	down   bool
	stroke []handover.Point
}

// NewPad returns a field that hands on what was signed with each stroke, and "" when it
// is wiped.
func NewPad(w *editing.Site, id string, keep func(ctx app.Context, strokes string)) *Pad {
	return &Pad{site: w, id: id, keep: keep}
}

// Show is the field, with what was signed in it; open where it may be signed on.
func (g *Pad) Show(label, signed string, open bool) app.UI {
	w := g.site
	g.signed = signed
	canvas := app.Canvas().ID(g.id).Class("sign-field").Width(2*handover.StrokeWidth).Height(2*handover.StrokeHeight).
		Attr("role", "img").Aria("label", label)
	if open {
		canvas = canvas.On("pointerdown", g.press).On("pointermove", g.move).On("pointerup", g.release).
			On("pointercancel", func(app.Context, app.Event) { g.down = false })
	}
	if app.IsClient {
		w.Screen.Defer(func(app.Context) { g.draw(signed) })
	}
	return element.Box("div", "sign-box", canvas,
		app.If(signed != "", element.Button("switch", w.Say("Wipe it"), func(ctx app.Context, _ app.Event) { g.keep(ctx, "") }, g.id)))
}

// draw draws what was signed anew.
func (g *Pad) draw(signed string) {
	canvas := app.Window().Get("document").Call("getElementById", g.id)
	if !canvas.Truthy() || g.down {
		return
	}
	pen := canvas.Call("getContext", "2d")
	pen.Call("clearRect", 0, 0, 2*handover.StrokeWidth, 2*handover.StrokeHeight)
	for _, stroke := range handover.ReadStrokes(signed) {
		for i := 1; i < len(stroke); i++ {
			line(canvas, pen, stroke[i-1], stroke[i])
		}
	}
}

func line(canvas, pen app.Value, a, b handover.Point) {
	pen.Set("lineWidth", 4)
	pen.Set("lineCap", "round")
	pen.Set("strokeStyle", app.Window().Call("getComputedStyle", canvas).Get("color"))
	pen.Call("beginPath")
	pen.Call("moveTo", 2*a.X, 2*a.Y)
	pen.Call("lineTo", 2*b.X, 2*b.Y)
	pen.Call("stroke")
}

// at is where on the field a pointer is.
func (g *Pad) at(e app.Event) handover.Point {
	box := e.Get("target").Call("getBoundingClientRect")
	place := func(of, from, size string, most int) int {
		v := (e.Get(of).Float() - box.Get(from).Float()) / box.Get(size).Float() * float64(most)
		return int(math.Round(math.Max(0, math.Min(v, float64(most)))))
	}
	return handover.Point{X: place("clientX", "left", "width", handover.StrokeWidth),
		Y: place("clientY", "top", "height", handover.StrokeHeight)}
}

func (g *Pad) press(_ app.Context, e app.Event) {
	e.PreventDefault()
	g.down, g.stroke = true, []handover.Point{g.at(e)}
	if target := e.Get("target"); target.Get("setPointerCapture").Truthy() {
		target.Call("setPointerCapture", e.Get("pointerId"))
	}
}

func (g *Pad) move(_ app.Context, e app.Event) {
	if !g.down {
		return
	}
	last, next := g.stroke[len(g.stroke)-1], g.at(e)
	if max(next.X-last.X, last.X-next.X, next.Y-last.Y, last.Y-next.Y) < 2 {
		return
	}
	g.stroke = append(g.stroke, next)
	canvas := e.Get("target")
	line(canvas, canvas.Call("getContext", "2d"), last, next)
}

func (g *Pad) release(ctx app.Context, _ app.Event) {
	if !g.down {
		return
	}
	g.down = false
	g.keep(ctx, handover.WriteStrokes(append(handover.ReadStrokes(g.signed), g.stroke)))
}

// signPaths are the signatures of a hand-over.
var signPaths = [2]string{survey.HandOverFitterSign, survey.HandOverOwnerSign}

func (s *handOverScreen) pad(i int, open bool) app.UI {
	f, _ := survey.FieldAt(signPaths[i])
	return s.signs[i].Show(s.w.SayName(f.Name), f.Words(&s.w.Doc.Survey), open)
}

// guessed is who is likely to sign: who measured, or who accepted the quote or is the client;
// "" where somebody is named. It is taken with the signature.
func (s *handOverScreen) guessed(path string) string {
	w := s.w
	taken := &w.Doc.Survey
	switch {
	case path == survey.HandOverFitter && taken.Build.HandOver.Fitter == "":
		return cmp.Or(taken.Site.MeasuredBy, w.Shop.Settings.Crew)
	case path == survey.HandOverOwner && taken.Build.HandOver.Owner == "":
		for _, a := range slices.Backward(taken.Quote.Agreed) {
			if a.On != "" {
				return a.Owner
			}
		}
		return taken.Site.Client
	}
	return ""
}

// keepSignature keeps a signature with the time and the state that it stands for. The
// first one binds the state; what is wiped binds nothing any more.
func (s *handOverScreen) keepSignature(ctx app.Context, path, strokes string) {
	w := s.w
	h := &w.Doc.Survey.Build.HandOver
	signed, of := editing.Now(), h.SignedFor
	switch {
	case strokes != "":
		state, err := storage.HandOverState(w.Doc)
		if err != nil {
			w.Fail(err)
			return
		}
		of = string(state)
	case path == survey.HandOverFitterSign && h.OwnerSign == "", path == survey.HandOverOwnerSign && h.FitterSign == "":
		signed, of = "", ""
	}
	var edits []storage.Edit
	set := [][2]string{{path, strokes}, {survey.HandOverSigned, signed}, {survey.HandOverSignedFor, of}}
	for i, sign := range signPaths {
		who := [...]string{survey.HandOverFitter, survey.HandOverOwner}[i]
		if name := s.guessed(who); sign == path && strokes != "" && name != "" {
			set = append(set, [2]string{who, name})
		}
	}
	for _, set := range set {
		e, err := storage.SetWords(w.Doc, set[0], set[1])
		if err != nil {
			w.Fail(err)
			return
		}
		edits = append(edits, e)
	}
	w.Commit(ctx, storage.Together("Signature", edits...), nil)
}

// sign takes names and signatures once nothing else is missing. What was signed and has
// changed since is wiped before anybody signs again.
func (s *handOverScreen) sign(r *handover.Report) app.UI {
	w := s.w
	h := &w.Doc.Survey.Build.HandOver
	var missing []app.UI
	for i := range r.Missing {
		missing = append(missing, element.Text("li", "", w.Sentence(r.Missing[i])))
	}
	tested, any := r.Done() == len(r.Tests), h.FitterSign != "" || h.OwnerSign != ""
	return element.Region("section", "signing", w.Say("Signatures"),
		element.Text("h2", "", w.Say("Signatures")),
		app.If(!r.Ready(), element.Box("div", "", element.Text("p", "", w.Say("Missing before it may be handed over:")),
			element.Box("ul", "missing", missing...))),
		app.If(r.Ready(), element.Status("p", "ready", "status", w.Say("All tests passed, and both signed."))),
		app.If(tested || any, element.Box("div", "list",
			s.words(survey.HandOverFitter, "fitter"), s.pad(0, tested && !r.Changed),
			s.words(survey.HandOverOwner, "owner"), s.pad(1, tested && !r.Changed))),
		app.If(h.Signed != "", element.Text("p", "quiet", w.SayWith("Signed on {0}.", w.LocalTime(h.Signed)))),
	)
}
