package fieldbook

import (
	"maps"
	"math"
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/engine/drawing"
	"pegpour/engine/units"
	"pegpour/storage"
)

// What counts as a post's top, mm above the ground: less tells nothing of heights.
const (
	topLeast = 100
	topMost  = 10_000
)

// topsOf are the tops pointed at or in hand.
func (s *overlayScreen) topsOf(p *storage.Photo) (out []drawing.PhotoPlace) {
	for _, q := range drawing.PhotoTops(s.w.Plan()) {
		_, pointed := p.Spots[q.ID]
		if _, there := s.tops[q.ID]; there || pointed {
			out = append(out, q)
		}
	}
	return out
}

// addTop takes a post's top in hand, to be pointed at next, or corrects its height;
// the problem says what could not be read.
func (s *overlayScreen) addTop(ctx app.Context, p *storage.Photo, id, height string) (problem string) {
	w := s.w
	high, err := units.Parse(height, w.Unit())
	switch {
	case err != nil:
		return w.ErrorWords(err)
	case !(high >= topLeast && high <= topMost):
		return w.SayWith("A top stands {0} to {1} above the ground.", w.Length(topLeast, true), w.Length(topMost, true))
	}
	s.tops[id], s.place = math.Round(high*10)/10, id
	if spot, pointed := p.Spots[id]; pointed {
		s.placeSpot(ctx, spot.U, spot.V)
	}
	return ""
}

// lastHeight is that of a top pointed at before, in this photo or another of the
// site: posts are mostly alike. Empty if there is none.
func (s *overlayScreen) lastHeight(p *storage.Photo) string {
	for _, q := range append([]storage.Photo{*p}, s.w.Doc.Photos...) {
		for _, id := range slices.Sorted(maps.Keys(q.Spots)) {
			if h := q.Spots[id].Height; h > 0 {
				return s.w.Length(h, false)
			}
		}
	}
	return ""
}

// topMark asks which post's top is pointed at, and how high it stands.
func (s *overlayScreen) topMark(p *storage.Photo) app.UI {
	w := s.w
	tops := drawing.PhotoTops(w.Plan())
	return element.Box("section", "told",
		element.Text("h2", "", w.Say("The top of a post")),
		element.Text("p", "quiet",
			w.Say("Tops tell where the camera stood, so that posts alone fix the photo: point at the foot and the top of both posts, and at one chalk mark to check.")),
		element.Box("div", "setting whole", element.Label("top-place", w.Say("Which corner")),
			app.Select().ID("top-place").Body(app.Range(tops).Slice(func(i int) app.UI {
				return app.Option().Value(tops[i].ID).Text(w.SayName(tops[i].Name))
			}))),
		element.Box("div", "setting", element.Label("top-height", w.Say("Height above the ground there")),
			app.Input().ID("top-height").Type("text").Attr("autocomplete", "off").Attr("inputmode", "text").Value(s.lastHeight(p))),
		app.If(s.wrongTop != "", element.Status("p", "error", "alert", s.wrongTop)),
		app.Button().Type("button").Class("wide").DataSet("do", "top-mark").
			Body(ui.Sign(ui.SignAdd), app.Text(w.Say("Point at this top"))).
			OnClick(func(ctx app.Context, _ app.Event) {
				if now, ok := s.record(); ok {
					s.wrongTop = s.addTop(ctx, &now, window.ValueOf("top-place"), window.ValueOf("top-height"))
				}
				if s.wrongTop == "" {
					app.Window().GetElementByID("overlay").Call("scrollIntoView", map[string]any{"block": "nearest"})
				}
			}))
}

// isTop reports whether a place is a top, which is pointed at once its height is known.
func isTop(id string) bool { return strings.HasPrefix(id, "top.") }

// asksHeight leads to the height of a top that is not known yet, the top chosen.
func (s *overlayScreen) asksHeight(id string) bool {
	if _, known := s.tops[id]; known || !isTop(id) {
		return false
	}
	app.Window().GetElementByID("top-place").Set("value", id)
	height := app.Window().GetElementByID("top-height")
	height.Call("scrollIntoView", map[string]any{"block": "center"})
	height.Call("focus")
	return true
}

// toTops leads to where a post's top is chosen.
func (s *overlayScreen) toTops() app.UI {
	return element.Doing("row-side", "to-tops", s.w.Say("The top of a post"), func(app.Context, app.Event) {
		app.Window().GetElementByID("top-place").Call("scrollIntoView", map[string]any{"block": "center"})
	})
}
