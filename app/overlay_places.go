package app

import (
	"errors"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/drawing"
	"pegpour/engine/photo"
	"pegpour/storage"
)

// verdict says how well the plan lies on the picture.
func (s *overlayScreen) verdict(spots []drawing.PhotoSpot, over drawing.PhotoOverlay, err error) app.UI {
	w := s.w
	if len(spots) < 4 {
		return app.P().Class("help").Text(sayCount(4-len(spots), "Point at one more place that you know.", "Point at {0} more places that you know: choose one, then put your finger on it in the photo."))
	}
	if err != nil {
		return app.P().ID("overlay-says").Class("error").Role("alert").Text(whyNoFit(err))
	}
	words := sayWith("The spots miss their places by {0} mm.", decimal(over.Miss, 0))
	class := "voice-worked"
	switch {
	case over.SwappedSides:
		words, class = say("Left and right are the wrong way round: a spot was put on the wrong post."), "error"
	case over.NoCheck:
		words, class = say("Four spots always fit, right or wrong: point at a fifth place to see how well it lies."), "help"
	case len(over.Suspects) > 0:
		var names []string
		for _, i := range over.Suspects {
			names = append(names, say(spots[i].Name))
		}
		words = sentences(words, sayWith("Look again at: {0}.", strings.Join(names, ", ")))
		class = "error"
	}
	return app.Div().Body(app.P().ID("overlay-says").Class(class).Role("status").Text(words),
		app.If(over.Uncertainty > 0, app.P().Class("quiet").Text(sayWith("By the pointing alone the pad lies to ± {0}. Ground that is not flat, and the lens, come on top.", w.length(over.Uncertainty, true)))))
}

// whyNoFit says why spots do not fix a picture.
func whyNoFit(err error) string {
	var line *photo.InLineError
	var horizon *photo.HorizonError
	switch {
	case errors.As(err, &line) && line.Where == photo.OnGround:
		return sayWith("These spots do not fix the picture: {0}, {1} and {2} lie nearly in line on the ground.", say(line.Names[0]), say(line.Names[1]), say(line.Names[2]))
	case errors.As(err, &line):
		return sayWith("These spots do not fix the picture: {0}, {1} and {2} lie nearly in line in the photo.", say(line.Names[0]), say(line.Names[1]), say(line.Names[2]))
	case errors.As(err, &horizon) && len(horizon.Names) > 0:
		var names []string
		for _, name := range horizon.Names {
			names = append(names, say(name))
		}
		return sayWith("By these spots the camera would have its back to a place it shows: one was put on the wrong place. Look again at: {0}.", strings.Join(names, ", "))
	}
	return say("These spots do not fix the picture: they spread too little both ways.")
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
	seal := s.w.seal + p.ID + strings.Join(slices.Sorted(maps.Keys(passed)), " ")
	if s.next.seal != seal {
		place, ok := drawing.NextPhotoPlace(s.w.plan(), spots, passed)
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
		return app.P().ID("overlay-next").Class("quiet").Text(say("No other known place is left: tape more pegs in the network, or take the photo from where more places show."))
	}
	name := say(q.Name)
	var take app.UI = app.Button().Type("button").Class("wide").DataSet("do", "next-place").Text(sayWith("Next: {0}", name)).
		OnClick(func(app.Context, app.Event) {
			s.place = q.ID
			app.Window().GetElementByID("overlay").Call("scrollIntoView", map[string]any{"block": "nearest"})
		}, q.ID)
	if s.place == q.ID {
		take = app.P().Class("help").Role("status").Text(sayWith("Put your finger on it in the photo: {0}.", name))
	}
	return app.Div().ID("overlay-next").Body(take,
		app.Button().Type("button").Class("row-side").DataSet("do", "not-shown").Aria("label", sayWith("{0} is not in this photo", name)).Text(say("Not in this photo")).
			OnClick(func(app.Context, app.Event) {
				s.unseen[q.ID] = true
				p, ok := s.record()
				if !ok || s.place != q.ID {
					return
				}
				s.place = ""
				_, spots := s.spots(&p)
				if next, ok := s.nextPlace(&p, spots); ok {
					s.place = next.ID
				}
			}, q.ID))
}

// pointing chooses the place to point at and moves a spot by one pixel.
func (s *overlayScreen) pointing(p *storage.Photo) app.UI {
	places := drawing.PhotoPlaces(s.w.plan())
	var nudge app.UI = app.Text("")
	if _, there := p.Spots[s.place]; there {
		move := func(sign, name string, du, dv float64) app.UI {
			return iconButton(sign, name, true, func(ctx app.Context) {
				if now, ok := s.record(); ok {
					s.put(ctx, now.Spots[s.place].U+du, now.Spots[s.place].V+dv)
				}
			})
		}
		nudge = app.Div().Class("drawing-tools").Role("group").Aria("label", say("Move the spot")).Body(
			move(signLeft, "Spot left", -1, 0), move(signUp, "Spot up", 0, -1), move(signDown, "Spot down", 0, 1), move(signRight, "Spot right", 1, 0),
			iconButton(signErase, "Take the spot away", true, s.takeAway))
	}
	return app.Section().Body(nudge,
		app.H2().Text(say("Places you know")),
		app.Div().Class("list").Body(app.Range(places).Slice(func(i int) app.UI {
			q := places[i]
			_, there := p.Spots[q.ID]
			b := app.Button().Type("button").Class("row-main").DataSet("place", q.ID).Aria("pressed", strconv.FormatBool(q.ID == s.place)).
				OnClick(func(app.Context, app.Event) { s.place = q.ID }, q.ID)
			if q.ID == s.place {
				b = b.Class("here")
			}
			return b.Body(app.Text(say(q.Name)), app.If(there, sign(signDone)))
		})))
}

func (s *overlayScreen) takeAway(ctx app.Context) {
	p, ok := s.record()
	if !ok {
		return
	}
	p.Spots = maps.Clone(p.Spots)
	delete(p.Spots, s.place)
	e, err := storage.PutPhoto(s.w.doc, p)
	s.w.commit(ctx, e, err)
}
