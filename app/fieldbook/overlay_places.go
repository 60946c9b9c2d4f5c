package fieldbook

import (
	"cmp"
	"errors"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/engine/drawing"
	"pegpour/engine/photo"
	"pegpour/storage"
)

// verdict says how well the plan lies on the picture.
func (s *overlayScreen) verdict(spots []drawing.PhotoSpot, over drawing.PhotoOverlay, err error) app.UI {
	w := s.w
	if len(spots) < 4 {
		return element.Text("p", "help", w.SayCount(4-len(spots), "Point at one more place that you know.",
			"Point at {0} more places that you know: choose one, then put your finger on it in the photo."))
	}
	if s.wide == 0 {
		return app.Text("") // a camera is found by the size of the picture
	}
	if err != nil {
		return element.Known("p", "overlay-says", "error", "alert", whyNoFit(w.Speaker, spots, err))
	}
	words := w.SayWith("The spots miss their places by {0} mm.", w.Decimal(over.Miss, 0))
	class := "voice-worked"
	switch {
	case over.SwappedSides:
		words, class = w.Say("Left and right are the wrong way round: a spot was put on the wrong post."), "error"
	case over.NoCheck:
		words, class = w.Say("Four spots always fit, right or wrong: point at a fifth place to see how well it lies."), "help"
	case len(over.Suspects) > 0:
		var names []string
		for _, i := range over.Suspects {
			names = append(names, w.SayName(spots[i].Name))
		}
		words = language.Sentences(words, w.SayWith("Look again at: {0}.", strings.Join(names, ", ")))
		class = "error"
	}
	return element.Box("div", "", element.Known("p", "overlay-says", class, "status", words),
		app.If(over.Uncertainty > 0,
			element.Text("p", "quiet", w.SayWith("By the pointing alone the pad lies to ± {0}. Ground that is not flat, and the lens, come on top.",
				w.Length(over.Uncertainty, true)))))
}

// whyNoFit says why spots do not fix a picture.
func whyNoFit(l *language.Speaker, spots []drawing.PhotoSpot, err error) string {
	name := func(i int) string { return l.SayName(spots[i].Name) }
	var line *photo.InLineError
	var horizon *photo.HorizonError
	switch {
	case errors.Is(err, photo.ErrCamera):
		return l.Say("These spots leave open where the camera stood: also mark something a metre or more from the line of the posts, a chalk cross of your own, or the top of the other post.")
	case errors.As(err, &line) && line.Where == photo.InSpace:
		return language.Sentences(l.Say("These spots do not fix the picture: all of them lie nearly in line."),
			l.Say("Also mark the foot and the top of the other post, or a chalk cross of your own."))
	case errors.As(err, &line) && line.Where == photo.OnGround:
		return language.Sentences(l.SayWith("These spots do not fix the picture: {0}, {1} and {2} lie nearly in line on the ground.",
			name(line.Pairs[0]), name(line.Pairs[1]), name(line.Pairs[2])),
			l.Say("The posts stand in one line: also mark the tops of two of them, or something a metre or more from it, a peg, or a chalk cross of your own."))
	case errors.As(err, &line):
		return l.SayWith("These spots do not fix the picture: {0}, {1} and {2} lie nearly in line in the photo.",
			name(line.Pairs[0]), name(line.Pairs[1]), name(line.Pairs[2]))
	case errors.As(err, &horizon) && len(horizon.Pairs) > 0:
		var names []string
		for _, i := range horizon.Pairs {
			names = append(names, name(i))
		}
		return l.SayWith("By these spots the camera would have its back to a place it shows: one was put on the wrong place. Look again at: {0}.", strings.Join(names, ", "))
	}
	return l.Say("These spots do not fix the picture: they spread too little both ways.")
}

// nextPlace is the place to point at next, kept for the spots it was found for:
// finding it is no work for each movement of a finger.
type nextPlace struct {
	seal  string
	place drawing.PhotoPlace
	ok    bool
}

// nextPlace is the known place that tells most about how the picture lies.
func (s *overlayScreen) nextPlace(p *storage.Photo, spots []drawing.PhotoSpot) (drawing.PhotoPlace, bool) {
	passed := maps.Clone(s.unseen)
	for id := range p.Spots {
		passed[id] = true
	}
	seal := s.w.Seal + p.ID + strings.Join(slices.Sorted(maps.Keys(passed)), " ")
	if s.next.seal != seal {
		place, ok := drawing.NextPhotoPlace(s.w.Plan(), spots, passed)
		if top, there := drawing.NextPhotoTop(s.w.Plan(), spots, passed); there && (!ok || place.Pegged()) {
			place, ok = top, true
		}
		s.next = nextPlace{seal, place, ok}
	}
	return s.next.place, s.next.ok
}

// nextStep offers the place to point at next while the picture is not fixed, or
// nothing checks how.
func (s *overlayScreen) nextStep(p *storage.Photo, spots []drawing.PhotoSpot, wanted bool) app.UI {
	if !wanted {
		return app.Text("")
	}
	q, ok := s.nextPlace(p, spots)
	if !ok {
		return element.Box("div", "", s.toTops(), element.Known("p", "overlay-next", "quiet", "",
			s.w.Say("No other known place is left: add the top of a post or a chalk mark of your own, tape more pegs in the network, or take the photo from where more places show.")))
	}
	name := s.w.SayName(q.Name)
	var take app.UI = element.Doing("wide", "next-place", s.w.SayWith("Next: {0}", name), func(app.Context, app.Event) {
		if s.asksHeight(q.ID) {
			return
		}
		s.place = q.ID
		app.Window().GetElementByID("overlay").Call("scrollIntoView", map[string]any{"block": "nearest"})
	}, q.ID)
	if s.place == q.ID {
		take = element.Status("p", "help", "status", s.w.SayWith("Put your finger on it in the photo: {0}.", name))
	}
	return app.Elem("div").ID("overlay-next").Body(take, s.toTops(),
		app.Button().Type("button").Class("row-side").DataSet("do", "not-shown").
			Aria("label", s.w.SayWith("{0} is not in this photo", name)).Text(s.w.Say("Not in this photo")).
			OnClick(func(app.Context, app.Event) {
				s.unseen[q.ID] = true
				p, ok := s.record()
				if !ok || s.place != q.ID {
					return
				}
				s.place = ""
				_, spots := s.spots(&p)
				if next, ok := s.nextPlace(&p, spots); ok && !isTop(next.ID) {
					s.place = next.ID
				}
			}, q.ID))
}

// pointing chooses the place to point at and moves a spot by one pixel.
func (s *overlayScreen) pointing(p *storage.Photo) app.UI {
	places := s.places(p)
	var nudge app.UI = app.Text("")
	if _, there := p.Spots[s.place]; there {
		move := func(mark, name string, du, dv float64) app.UI {
			return ui.IconButton(s.w.Speaker, mark, name, true, func(ctx app.Context) {
				if now, ok := s.record(); ok {
					s.placeSpot(ctx, now.Spots[s.place].U+du, now.Spots[s.place].V+dv)
				}
			})
		}
		nudge = element.Acting("div", "drawing-tools", "group", s.w.Say("Move the spot"),
			move(ui.SignLeft, "Spot left", -1, 0), move(ui.SignUp, "Spot up", 0, -1), move(ui.SignDown, "Spot down", 0, 1),
			move(ui.SignRight, "Spot right", 1, 0),
			ui.IconButton(s.w.Speaker, ui.SignErase, "Take the spot away", true, s.removeSpot))
	}
	return element.Box("section", "", nudge,
		element.Text("h2", "", s.w.Say("Places you know")),
		element.Box("div", "list", app.Range(places).Slice(func(i int) app.UI {
			q := places[i]
			spot, there := p.Spots[q.ID]
			name := s.w.SayName(q.Name)
			if high := cmp.Or(spot.Height, s.tops[q.ID]); high > 0 {
				name += ", " + s.w.Length(high, true)
			}
			b := app.Button().Type("button").Class("row-main").DataSet("place", q.ID).
				Aria("pressed", strconv.FormatBool(q.ID == s.place)).
				OnClick(func(app.Context, app.Event) { s.place = q.ID }, q.ID)
			if q.ID == s.place {
				b = b.Class("here")
			}
			return b.Body(app.Text(name), app.If(there, ui.Sign(ui.SignDone)))
		})))
}

func (s *overlayScreen) removeSpot(ctx app.Context) {
	p, ok := s.record()
	if !ok {
		return
	}
	p.Spots = maps.Clone(p.Spots)
	delete(p.Spots, s.place)
	e, err := storage.PutPhoto(s.w.Doc, p)
	s.w.Commit(ctx, e, err)
}
