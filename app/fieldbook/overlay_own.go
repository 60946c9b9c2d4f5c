package fieldbook

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/engine/drawing"
	"pegpour/engine/geom"
	"pegpour/engine/text"
	"pegpour/engine/units"
	"pegpour/storage"
)

// ownPrefix begins the identities of marks of one's own among the spots of a photo.
// Where such a mark lies on the ground stands in its spot.
const ownPrefix = "own."

// ownName is what a mark of one's own is called; false for any other place.
func ownName(id string) (text.Name, bool) {
	n, err := strconv.Atoi(strings.TrimPrefix(id, ownPrefix))
	if err != nil || !strings.HasPrefix(id, ownPrefix) {
		return "", false
	}
	return text.Numbered("Chalk mark {0}", n), true
}

// places are those of the plan, the tops and the marks of one's own.
func (s *overlayScreen) places(p *storage.Photo) []drawing.PhotoPlace {
	places := append(drawing.PhotoPlaces(s.w.Plan()), s.topsOf(p)...)
	ids := map[string]bool{}
	for id := range p.Spots {
		ids[id] = true
	}
	for id := range s.own {
		ids[id] = true
	}
	for _, id := range slices.Sorted(maps.Keys(ids)) {
		name, own := ownName(id)
		if !own {
			continue
		}
		at := s.own[id]
		if spot, pointed := p.Spots[id]; pointed {
			at = geom.Point{X: spot.Chainage, Y: spot.Offset}
		}
		places = append(places, drawing.PhotoPlace{ID: id, Name: name, At: at})
	}
	return places
}

// addOwn takes a mark of one's own in hand, to be pointed at next; the problem says
// what could not be read.
func (s *overlayScreen) addOwn(p *storage.Photo, along, out string) (problem string) {
	x, err := units.Parse(along, s.w.Unit())
	y, err2 := units.Parse(out, s.w.Unit())
	if err == nil {
		err = err2
	}
	if err != nil {
		return s.w.ErrorWords(err)
	}
	for n := 1; ; n++ {
		id := ownPrefix + strconv.Itoa(n)
		_, pointed := p.Spots[id]
		if _, there := s.own[id]; there || pointed {
			continue
		}
		s.own[id], s.place = geom.Point{X: x, Y: y}, id
		return ""
	}
}

// ownMark asks where a chalk mark lies, before any peg stands.
func (s *overlayScreen) ownMark(p *storage.Photo) app.UI {
	w := s.w
	entry := func(id, name string) app.UI {
		return element.Box("div", "setting", element.Label(id, w.Say(name)),
			app.Input().ID(id).Type("text").Attr("autocomplete", "off").Attr("inputmode", "text"))
	}
	return element.Box("section", "told",
		element.Text("h2", "", w.Say("A mark of your own")),
		element.Text("p", "quiet",
			w.Say("Before pegs stand: chalk a cross on the ground, a metre or more from the line of the posts, tape it, and point at it in the photo. Towards the street the second length has a minus.")),
		entry("own-along", "Along from the latch post"), entry("own-out", "Out from the back of the posts"),
		app.If(s.wrong != "", element.Status("p", "error", "alert", s.wrong)),
		app.Button().Type("button").Class("wide").DataSet("do", "own-mark").
			Body(ui.Sign(ui.SignAdd), app.Text(w.Say("Point at this mark"))).
			OnClick(func(app.Context, app.Event) {
				if s.wrong = s.addOwn(p, window.ValueOf("own-along"), window.ValueOf("own-out")); s.wrong == "" {
					app.Window().GetElementByID("overlay").Call("scrollIntoView", map[string]any{"block": "nearest"})
				}
			}, s.w.Seal, s.place))
}
