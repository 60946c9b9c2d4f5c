package fieldbook

import (
	"context"
	"math"
	"strconv"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/geom"
	"pegpour/storage"
)

// photoAgain is how often photos are looked for that are not on this phone yet.
const photoAgain = 3 * time.Second

// photosScreen takes photos and notes and pins them to places of the plan.
type photosScreen struct {
	app.Compo
	w *editing.Site

	chosen  string            // identity of the photo or note in hand
	images  map[string]string // address of each photo's bytes in the page
	sheet   *draw.Sheet
	problem string
	gone    bool
	unsaid  bool // the file taken last did not say where

	filled, fill, typed string // the note in the entry, what it was filled with, what was typed since
}

// NewPhotosScreen returns the screen.
func NewPhotosScreen(w *editing.Site) app.Composer {
	return &photosScreen{w: w, images: map[string]string{}}
}

// OnNav implements app.Navigator.
func (s *photosScreen) OnNav(ctx app.Context) {
	s.w.Follow(ctx, func(ctx app.Context) {
		s.show()
		s.lookAgain(ctx)
	})
}

// lookAgain looks from time to time for photos that are on their way here.
func (s *photosScreen) lookAgain(ctx app.Context) {
	ctx.After(photoAgain, func(ctx app.Context) {
		missing := 0
		for id, address := range s.images {
			if address == "" {
				delete(s.images, id)
				missing++
			}
		}
		if s.gone || missing == 0 {
			return
		}
		s.show()
		s.lookAgain(ctx)
	})
}

// OnDismount implements app.Dismounter.
func (s *photosScreen) OnDismount() {
	s.gone = true
	for _, address := range s.images {
		window.Forget(address)
	}
	s.w.Leave()
}

// show reads the photos that are not on the page yet.
func (s *photosScreen) show() {
	if s.w.Doc == nil {
		return
	}
	for _, p := range s.w.Doc.Photos {
		if _, there := s.images[p.ID]; !there {
			s.images[p.ID] = ""
			readPhoto(s.w, p.ID, func(address string) { s.images[p.ID] = address })
		}
	}
}

// readPhoto puts a photo's bytes at an address of the page.
func readPhoto(w *editing.Site, id string, then func(address string)) {
	w.Background(func(c context.Context) error {
		media, data, err := w.Store.Photo(c, id)
		if err != nil { // it may not have come from the other device yet, or was given up here
			w.WantPhoto(c, id)
			return nil
		}
		w.Dispatch(func(app.Context) {
			then(window.AddressOf(window.Blob(media, window.Bytes(data))))
		})
		return nil
	})
}

// Render implements app.Composer.
func (s *photosScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	return ui.SiteFrame(w, "more tool",
		element.Text("h2", "", w.Say("Photos and notes")),
		element.Box("div", "row",
			s.chooser("take", "Take a photo", true),
			s.chooser("choose", "Choose photos", false),
		),
		s.originSwitch(),
		app.If(s.problem != "", element.Status("p", "error", "alert", s.problem)),
		app.Button().Type("button").Class("wide").DataSet("do", "add-note").
			Body(ui.Sign(ui.SignAdd), app.Text(w.Say("Write a note"))).
			OnClick(func(ctx app.Context, _ app.Event) { s.addNote(ctx) }),
		s.plan(),
		s.inHand(),
		element.Box("div", "photos", app.Range(w.Doc.Photos).Slice(func(i int) app.UI { return s.photo(i) })),
		element.Box("div", "list", app.Range(w.Doc.Notes).Slice(func(i int) app.UI { return s.note(i) })),
	)
}

// chooser is a button that opens the camera or the phone's pictures.
func (s *photosScreen) chooser(id, words string, camera bool) app.UI {
	input := app.Input().ID("photo-" + id).Type("file").Accept("image/*").Class("hidden-input").
		OnChange(func(ctx app.Context, e app.Event) { s.chose(e) })
	if camera {
		input = input.Attr("capture", "environment")
	} else {
		input = input.Multiple(true)
	}
	return element.Box("label", "wide", input, app.Text(s.w.Say(words)))
}

// chose takes each file that was chosen.
func (s *photosScreen) chose(e app.Event) {
	s.problem, s.unsaid = "", false
	ui.TakePhotos(s.w, e.Get("target"), storage.Photo{}, func(taken storage.Photo) {
		s.unsaid = s.unsaid || ui.KeepsOrigin(s.w) && (taken.Origin == nil || taken.Origin.Position == nil)
		s.chosen = taken.ID
		s.show()
	}, func(name string) {
		s.problem = s.w.SayWith("{0}: this picture cannot be read on this device.", name)
	})
}

func (s *photosScreen) addNote(ctx app.Context) {
	w := s.w
	e, err := storage.PutNote(w.Doc, storage.Note{Written: editing.Now()})
	w.Commit(ctx, e, err)
	if n := len(w.Doc.Notes); n > 0 {
		s.chosen = w.Doc.Notes[n-1].ID
	}
	w.Refresh(ctx)
}

// plan shows where photos and notes are pinned; a tap pins the one in hand.
func (s *photosScreen) plan() app.UI {
	w := s.w
	var pins []drawing.PinMark
	add := func(p *storage.Pin, number int, id string) {
		if p != nil {
			pins = append(pins, drawing.PinMark{At: geom.Point{X: p.Chainage, Y: p.Offset}, Number: number,
				Chosen: id == s.chosen})
		}
	}
	for i := range w.Doc.Photos {
		add(w.Doc.Photos[i].Pin, i+1, w.Doc.Photos[i].ID)
	}
	for i := range w.Doc.Notes {
		add(w.Doc.Notes[i].Pin, len(w.Doc.Photos)+i+1, w.Doc.Notes[i].ID)
	}
	if len(w.Doc.Photos)+len(w.Doc.Notes) == 0 {
		return app.Text("")
	}
	view := draw.Phone(window.Width(), 0)
	view.Mirror = w.Plan().Mirrored()
	sheet, err := draw.Layout(drawing.PinsScene(w.Plan(), pins, w.SceneOptions(false)), view)
	if err != nil {
		return element.Text("p", "error", w.ErrorWords(err))
	}
	s.sheet = sheet
	return element.Box("figure", "drawing",
		app.Elem("div").ID("pins").Class("paper").OnClick(s.pin).
			Body(app.Raw("<div>"+string(draw.SVG(sheet, draw.Options{Screen: true, Prefix: "pins"}))+"</div>")),
		element.Text("figcaption", "quiet", w.Say("Tap the plan to pin the one in hand there.")))
}

// pin puts the photo or note in hand where the plan was tapped.
func (s *photosScreen) pin(ctx app.Context, e app.Event) {
	if s.sheet == nil {
		return
	}
	at := s.sheet.ToModel(ui.Tapped("pins", s.sheet, e))
	s.setPin(ctx, &storage.Pin{Chainage: math.Round(at.X), Offset: math.Round(at.Y)})
}

func (s *photosScreen) setPin(ctx app.Context, pin *storage.Pin) {
	w := s.w
	for _, p := range w.Doc.Photos {
		if p.ID == s.chosen {
			p.Pin = pin
			e, err := storage.PutPhoto(w.Doc, p)
			w.Commit(ctx, e, err)
			return
		}
	}
	for _, n := range w.Doc.Notes {
		if n.ID == s.chosen {
			n.Pin = pin
			e, err := storage.PutNote(w.Doc, n)
			w.Commit(ctx, e, err)
			return
		}
	}
}

// inHand is what can be done with the photo or note that was tapped.
func (s *photosScreen) inHand() app.UI {
	w := s.w
	for i := range w.Doc.Photos {
		if p := w.Doc.Photos[i]; p.ID == s.chosen {
			return element.Box("section", "told",
				element.Text("h2", "", w.SayWith("Photo {0}", strconv.Itoa(i+1))),
				element.Box("label", "setting",
					app.Text(w.Say("Note")), app.Input().Type("text").Class("words").Aria("label", w.Say("Note on the photo")).
						Value(p.Note).
						OnInput(func(ctx app.Context, e app.Event) { s.writePhoto(ctx, p.ID, e.Get("target").Get("value").String()) },
							p.ID)),
				element.Text("p", "quiet", pinWords(w, p.Pin)),
				s.origin(&p),
				app.A().Class("wide primary").DataSet("do", "overlay").Href("/site/"+w.Doc.ID+"/overlay?photo="+p.ID).
					Text(w.Say("Draw the plan on this photo")),
				element.Button("row-side", w.Say("Remove this photo"), func(ctx app.Context, _ app.Event) {
					e, err := storage.RemovePhoto(w.Doc, p.ID)
					w.Commit(ctx, e, err)
				}, p.ID))
		}
	}
	for i := range w.Doc.Notes {
		if n := w.Doc.Notes[i]; n.ID == s.chosen {
			return element.Box("section", "told",
				element.Text("h2", "", w.SayWith("Note {0}", strconv.Itoa(len(w.Doc.Photos)+i+1))),
				app.Textarea().ID("note").Class("words").Rows(3).Aria("label", w.Say("Text of the note")).Text(s.noteFill(n)).
					OnInput(func(ctx app.Context, e app.Event) { s.writeNote(ctx, n.ID, e.Get("target").Get("value").String()) },
						n.ID),
				element.Text("p", "quiet", pinWords(w, n.Pin)),
				element.Button("row-side", w.Say("Remove this note"), func(ctx app.Context, _ app.Event) {
					e, err := storage.RemoveNote(w.Doc, n.ID)
					w.Commit(ctx, e, err)
				}, n.ID))
		}
	}
	return app.Text("")
}

// noteFill is what the entry of a note is filled with: the text as it was when
// the note was taken in hand. Filled anew with each key it would lose others
// that are typed meanwhile.
func (s *photosScreen) noteFill(n storage.Note) string {
	if s.filled != n.ID || n.Text != s.typed {
		s.filled, s.fill, s.typed = n.ID, n.Text, n.Text
	}
	return s.fill
}

func pinWords(w *editing.Site, p *storage.Pin) string {
	if p == nil {
		return w.Say("Not pinned: tap the plan where it belongs.")
	}
	return w.SayWith("Pinned {0} along, {1} out.", w.Length(p.Chainage, true), w.Length(p.Offset, true))
}

func (s *photosScreen) writePhoto(ctx app.Context, id, text string) {
	w := s.w
	for _, p := range w.Doc.Photos {
		if p.ID == id {
			p.Note = text
			e, err := storage.PutPhoto(w.Doc, p)
			e.Run = "typing photo " + id
			w.Commit(ctx, e, err)
			return
		}
	}
}

func (s *photosScreen) writeNote(ctx app.Context, id, text string) {
	w := s.w
	for _, n := range w.Doc.Notes {
		if n.ID == id {
			n.Text, s.typed = text, text
			e, err := storage.PutNote(w.Doc, n)
			e.Run = "typing note " + id
			w.Commit(ctx, e, err)
			return
		}
	}
}

func (s *photosScreen) photo(i int) app.UI {
	p := s.w.Doc.Photos[i]
	name := s.w.SayWith("Photo {0}", strconv.Itoa(i+1))
	b := app.Button().Type("button").Class("photo").DataSet("photo", i+1).Aria("label", name+" "+p.Note).
		Aria("pressed", strconv.FormatBool(p.ID == s.chosen)).
		OnClick(func(app.Context, app.Event) { s.chosen = p.ID }, p.ID)
	if p.ID == s.chosen {
		b = b.Class("here")
	}
	picture := app.UI(element.Text("span", "quiet", s.w.Say("Not on this phone yet")))
	if address := s.images[p.ID]; address != "" {
		picture = app.Img().Src(address).Alt(name)
	}
	return b.Body(picture, element.Text("span", "", strconv.Itoa(i+1)+" "+p.Note))
}

func (s *photosScreen) note(i int) app.UI {
	n := s.w.Doc.Notes[i]
	text := n.Text
	if text == "" {
		text = s.w.Say("An empty note")
	}
	return app.Button().Type("button").Class("row-main").Aria("pressed", strconv.FormatBool(n.ID == s.chosen)).
		OnClick(func(app.Context, app.Event) { s.chosen = n.ID }, n.ID).
		Body(app.Text(strconv.Itoa(len(s.w.Doc.Photos)+i+1) + "  " + text))
}
