package ui

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/shell"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
)

// Drawing shows a plan with buttons to enlarge and move it. The picture is put
// straight into its place, past the framework; a keystroke changes what differs in it.
type Drawing struct {
	app.Compo

	Speaker *language.Speaker
	// Plan and Options say what is drawn; Seal changes whenever they do.
	Plan    *plan.Plan
	Options drawing.SceneOptions
	Seal    string
	// Make makes the scene; nil draws the set-out plan.
	Make func(*plan.Plan, drawing.SceneOptions) *draw.Scene
	// Height in CSS pixels; 0 takes what the drawing needs.
	Height float64
	// Fill takes the height that the page leaves instead.
	Fill bool
	// Share of the window's height that it may take at most; 0 is no such bound.
	// Under Fill or a Share, sizes that find no room are left out.
	Share float64
	// Highlight is the field or outline in question.
	Highlight string
	// Window is an outline-independent part to show; empty shows all.
	Window draw.Box
	// Hidden layers.
	Hidden []string
	// Turn draws a quarter turned, so that a long plan fills an upright phone.
	Turn bool
	// Tools shows the buttons for size and place, and lets fingers do the same.
	Tools bool
	// ID of its place in the page; "" where a page has one drawing with tools or one
	// without.
	ID string
	// Part names what is drawn: another part is shown whole again.
	Part string
	// Live draws each new design of this site at once, in the room that the
	// drawing has; the screen around it follows with the next frame.
	Live *editing.Site
	// OnlyFields has nothing but what belongs to a field be tapped.
	OnlyFields bool
	// OnPick is called with the field or ID that was tapped.
	OnPick func(ctx app.Context, field, id string)

	zoom   float64
	part   string  // that zoom and centre belong to
	text   float64 // size of lettering in CSS pixels, which is the page's
	centre draw.Point
	shown  string
	high   float64    // of the picture while it was whole, in CSS pixels
	room   draw.Point // width and height in CSS pixels, when last measured
	sheet  *draw.Sheet
	kept   draw.Room
	place  app.Value // the element that holds the picture, when last measured
	drawn  app.Value // the part of the picture that keys draw anew
	head   string    // what the picture on the page opens with; "" while there is none
	body   string    // what is drawn there
	// described says that the words of the picture are those of its plan.
	described bool
}

// Render implements app.Composer.
func (d *Drawing) Render() app.UI {
	if d.part != d.Part {
		d.part, d.zoom = d.Part, 0
	}
	class := "drawing"
	if d.Fill {
		class = "drawing drawing-fill"
	}
	return element.Box("figure", class,
		d.paper(),
		app.If(d.Tools, element.Acting("div", "drawing-tools", "group", d.Speaker.Say("Move and enlarge the drawing"),
			d.tool(SignMinus, "Smaller", d.zoom > 1, func() { d.scaleBy(1 / 1.6) }),
			d.mover(SignLeft, "Move left", -1, 0),
			d.mover(SignUp, "Move up", 0, -1),
			d.mover(SignDown, "Move down", 0, 1),
			d.mover(SignRight, "Move right", 1, 0),
			d.tool(SignPlus, "Larger", d.zoom < largestZoom, func() { d.scaleBy(1.6) }),
		)),
	)
}

// paper is where the picture is put.
func (d *Drawing) paper() app.UI {
	paper := app.Elem("div").Class("paper").ID(d.domID()).OnClick(d.pick)
	if d.Tools {
		paper = paper.On("zoomed", d.zoomed)
	}
	if d.zoom > 1 {
		paper = paper.DataSet("enlarged", "yes")
	}
	return paper
}

func (d *Drawing) domID() string {
	switch {
	case d.ID != "":
		return d.ID
	case d.Tools:
		return "drawing-large"
	}
	return "drawing-small"
}

// tool is a button that can be pressed where it does something.
func (d *Drawing) tool(path, name string, does bool, do func()) app.UI {
	return IconButton(d.Speaker, path, name, does, func(app.Context) { do(); d.show(true) })
}

func (d *Drawing) mover(path, name string, right, down float64) app.UI {
	return d.tool(path, name, d.zoom > 1 && d.moved(right, down) != d.centre, func() { d.centre = d.moved(right, down) })
}

// OnMount implements app.Mounter.
func (d *Drawing) OnMount(ctx app.Context) {
	if d.Live != nil {
		d.Live.Live = d
	}
	d.show(true)
	d.showLaidOut(ctx)
	if d.Tools && d.place != nil {
		shell.Zooms(d.place)
	}
}

// OnDismount implements app.Dismounter.
func (d *Drawing) OnDismount() {
	if d.Live != nil && d.Live.Live == editing.Live(d) {
		d.Live.Live = nil
	}
}

// DrawAgain implements editing.Live.
func (d *Drawing) DrawAgain() {
	if d.room.X <= 0 {
		return
	}
	w := d.Live
	d.Plan, d.Options, d.Seal = w.Outlines(), w.SceneOptions(w.DetailAsked()), w.Seal
	d.Highlight, d.Window = w.Asked, w.WindowAsked()
	d.drawInto(d.place, false)
}

// OnResize implements app.Resizer: the window was turned, or its text enlarged,
// and what the page leaves for the drawing is known once it has been laid out.
func (d *Drawing) OnResize(ctx app.Context) {
	d.text = 0
	d.showLaidOut(ctx)
}

func (d *Drawing) showLaidOut(ctx app.Context) {
	ctx.Defer(func(app.Context) { d.show(false) })
}

// OnUpdate implements app.Updater.
func (d *Drawing) OnUpdate(ctx app.Context) {
	if d.Fill {
		d.showLaidOut(ctx)
		return
	}
	d.show(false)
}

func (d *Drawing) key() string {
	return d.Seal + "|" + d.Highlight + "|" + strings.Join(d.Hidden, ",")
}

// show draws into the page when something changed or force is set.
func (d *Drawing) show(force bool) {
	if d.Plan == nil {
		return
	}
	place := app.Window().GetElementByID(d.domID())
	if !place.Truthy() {
		return
	}
	if force || d.text == 0 {
		d.text = textSize()
	}
	d.place = place
	d.room = draw.Pt(place.Get("clientWidth").Float(), d.Height)
	if d.Fill {
		d.room.Y = place.Get("clientHeight").Float()
	} else if d.Share > 0 {
		_, high := app.Window().Size()
		d.room.Y = min(d.room.Y, d.Share*float64(high))
	}
	d.drawInto(place, force)
	d.describe(place)
}

// describe puts into words what a live drawing shows: while keys come only its
// outlines stand.
func (d *Drawing) describe(place app.Value) {
	if d.described || d.sheet == nil {
		return
	}
	d.described = true
	d.sheet.Desc = drawing.Spoken(d.Live.Plan(), d.Options)
	if desc := place.Call("querySelector", "desc"); desc.Truthy() {
		desc.Set("textContent", d.sheet.Desc)
	}
}

// drawInto draws into an element of the page that has the room last measured.
func (d *Drawing) drawInto(place app.Value, force bool) {
	width, height := d.room.X, d.room.Y
	bounded := d.Fill || d.Share > 0
	key := d.key() + "|" + strconv.FormatFloat(width, 'f', 0, 64) + "|" + strconv.FormatFloat(height, 'f', 0, 64) + "|" +
		strconv.FormatFloat(d.text, 'f', 0, 64)
	if width <= 0 || !place.Truthy() || !force && key == d.shown {
		return
	}
	d.shown = key
	options := d.Options
	options.Compact = bounded && height < 200
	sheet, err := d.layout(options, width, height)
	if bounded && err == nil && sheet != nil && !sheet.Fits && !options.Compact {
		// All sizes have no room: squeezed in, none could be read.
		options.Compact = true
		sheet, err = d.layout(options, width, height)
	}
	if err != nil || sheet == nil {
		d.head = ""
	}
	if err != nil {
		place.Set("innerHTML", "")
		place.Set("textContent", d.Speaker.SayWith("This cannot be drawn: {0}", d.Speaker.ErrorWords(err)))
		return
	}
	if sheet == nil {
		place.Set("innerHTML", "")
		return
	}
	if d.described = d.Live == nil; !d.described {
		sheet.Desc = ""
	}
	d.sheet = sheet
	if d.zoom <= 1 {
		d.high = sheet.Height
	}
	head, body := d.kept.Parts(sheet,
		draw.Options{Screen: true, OnlyFields: d.OnlyFields, Highlight: d.Highlight, Prefix: d.domID()})
	before := d.body
	d.body = body
	if head == d.head && !force {
		if changes, ok := draw.Changes(before, body); !ok || !shell.Redraw(d.drawn, changes) {
			d.drawn.Set("innerHTML", body)
		}
		return
	}
	d.head = head
	place.Set("innerHTML", head+"<g>"+body+"</g></svg>")
	d.drawn = place.Get("firstChild").Get("lastChild")
}

// layout lays the drawing out in the room given; nil when there is nothing to
// draw.
func (d *Drawing) layout(o drawing.SceneOptions, width, height float64) (*draw.Sheet, error) {
	scene := d.scene(o)
	if scene == nil {
		return nil, nil
	}
	view := draw.Phone(width, height)
	view.Mirror, view.Turn, view.Hidden, view.Window = d.Plan.Mirrored(), d.Turn, d.Hidden, d.window(scene)
	if d.Fill && view.Window != (draw.Box{}) {
		view.Window = widened(view.Window, scene.Bounds(), width/height)
	}
	for view.TextHeight = d.text; ; view.TextHeight = max(smallestText, 0.75*view.TextHeight) {
		sheet, err := d.kept.Layout(scene, view)
		// A sheet wider than its place is made smaller, and its lettering with it.
		if err != nil || view.TextHeight <= smallestText || sheet.Width <= width+1 {
			return sheet, err
		}
	}
}

// widened is a part of a scene with what lies beside it, so that it uses the width of
// its place.
func widened(part, all draw.Box, shape float64) draw.Box {
	if more := (part.Height()*shape - part.Width()) / 2; more > 0 {
		part.Min.X, part.Max.X = min(part.Min.X, max(all.Min.X, part.Min.X-more)), max(part.Max.X, min(all.Max.X, part.Max.X+more))
	}
	return part
}

// smallestText is the least size of lettering in CSS pixels.
const smallestText = 16

// textSize is the size of the page's text in CSS pixels, as the person has set
// it in the browser.
func textSize() float64 {
	root := app.Window().Get("document").Get("documentElement")
	size, err := strconv.ParseFloat(
		strings.TrimSuffix(app.Window().Call("getComputedStyle", root).Get("fontSize").String(), "px"), 64)
	if err != nil {
		return smallestText
	}
	return size
}

func (d *Drawing) scene(o drawing.SceneOptions) *draw.Scene {
	if d.Make != nil {
		return d.Make(d.Plan, o)
	}
	return drawing.SetOutScene(d.Plan, o)
}

// window is the part of the model in view.
func (d *Drawing) window(scene *draw.Scene) draw.Box {
	if d.zoom <= 1 {
		return d.Window
	}
	all := d.Window
	if all.Empty() || all == (draw.Box{}) {
		all = scene.Bounds()
	}
	half := draw.Pt(all.Width()/2/d.zoom, all.Height()/2/d.zoom)
	if d.room.X > 0 { // a long plan has more above and below it, and the picture stays as high
		half.Y = max(half.Y, half.X*(d.high-aroundPart)/d.room.X)
	}
	return draw.Box{Min: draw.Pt(d.centre.X-half.X, d.centre.Y-half.Y), Max: draw.Pt(d.centre.X+half.X, d.centre.Y+half.Y)}
}

func (d *Drawing) whole() draw.Box {
	all := d.Window
	if all == (draw.Box{}) {
		if scene := d.scene(d.Options); scene != nil {
			all = scene.Bounds()
		}
	}
	return all
}

func (d *Drawing) scaleBy(by float64) {
	if !(by > 0) {
		return // fingers that lay on one another
	}
	if d.zoom < 1 {
		d.zoom = 1
	}
	if d.zoom == 1 {
		d.centre = d.whole().Centre()
	}
	d.zoom = min(largestZoom, max(1, d.zoom*by))
	d.centre = d.moved(0, 0)
}

const largestZoom = 32

// aroundPart is what margin and scale bar take of the height of a part of a plan, in CSS
// pixels.
const aroundPart = 52

// zoomed follows what fingers did to the picture: what lay under them when they began lies
// where they ended.
func (d *Drawing) zoomed(_ app.Context, e app.Event) {
	if d.sheet == nil {
		return
	}
	did := e.Get("detail")
	place := func(name string) draw.Point {
		p := did.Get(name)
		return draw.Pt(p.Get("x").Float()*d.sheet.Width, p.Get("y").Float()*d.sheet.Height)
	}
	if did.Get("twice").Bool() && d.zoom > 1 {
		d.zoom = 1
		d.show(true)
		return
	}
	at, to := d.sheet.ToModel(place("from")), place("to")
	d.scaleBy(did.Get("by").Float())
	d.show(true)
	// What is seen now has other sizes around it, and may lie elsewhere on its sheet.
	if d.zoom > 1 && d.sheet != nil {
		seen := d.sheet.Clip
		end := d.sheet.ToModel(draw.Pt(min(max(to.X, seen.Min.X), seen.Max.X), min(max(to.Y, seen.Min.Y), seen.Max.Y)))
		d.centre.X, d.centre.Y = d.centre.X+at.X-end.X, d.centre.Y+at.Y-end.Y
		d.centre = d.moved(0, 0)
		d.show(true)
	}
}

// moved is the centre of what is seen after a third of it was passed, as the screen has
// left and up; what is seen stays within the whole.
func (d *Drawing) moved(right, down float64) draw.Point {
	x, y := right, -down
	if d.Turn {
		x, y = y, -x
	}
	if d.Plan.Mirrored() {
		x = -x
	}
	all := d.whole()
	within := func(low, high, at, step float64) float64 {
		half := (high - low) / 2 / d.zoom
		return min(high-half, max(low+half, at+step*half*2/3))
	}
	return draw.Pt(within(all.Min.X, all.Max.X, d.centre.X, x), within(all.Min.Y, all.Max.Y, d.centre.Y, y))
}

// pick finds the field or outline that was tapped.
func (d *Drawing) pick(ctx app.Context, e app.Event) {
	if d.OnPick == nil {
		return
	}
	at := e.Get("target").Call("closest", "[data-id]")
	if !at.Truthy() {
		return
	}
	read := func(name string) string {
		if v := at.Call("getAttribute", name); v.Type() == app.TypeString {
			return v.String()
		}
		return ""
	}
	d.OnPick(ctx, read("data-field"), read("data-id"))
}
