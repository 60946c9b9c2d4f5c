package app

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/storage"
)

// keepsOrigin reports whether new photos keep where and when they were taken.
func (w *workspace) keepsOrigin() bool {
	return w.shop != nil && w.shop.Settings.Origin == storage.OriginKept
}

// originSwitch chooses whether new photos keep where and when they were taken,
// and says where that goes.
func (s *photosScreen) originSwitch() app.UI {
	w := s.w
	kept := w.keepsOrigin()
	words := say("Photos are made smaller on the phone and lose their place and camera data by it.")
	if kept {
		words = say("Place and time are read from the file and kept beside the photo in this site. They go with the site to the yard and into what is saved of it, never into the owner's page or picture. The photo itself is made smaller and holds neither.")
	}
	return app.Div().Body(
		app.Label().Class("check").Body(
			app.Input().Type("checkbox").ID("keep-origin").Checked(kept).Aria("describedby", "origin-says").OnChange(func(ctx app.Context, e app.Event) {
				value := ""
				if e.Get("target").Get("checked").Bool() {
					value = storage.OriginKept
				}
				edit, err := storage.SetSetting(w.shop, storage.SettingOrigin, value)
				w.commitShop(ctx, edit, err)
			}),
			app.Text(say("Keep where and when new photos were taken"))),
		app.P().ID("origin-says").Class("quiet").Text(words),
		app.If(kept && s.unsaid, app.P().ID("origin-unsaid").Class("help").Role("status").Text(say("The file did not say where it was taken. Some phones take that out before they hand a photo over: let the camera keep the place, or choose the photo as a file."))))
}

// origin shows where and when the photo in hand was taken, and takes it away.
func (s *photosScreen) origin(p *storage.Photo) app.UI {
	w := s.w
	words := originWords(p)
	if words == "" {
		return app.Text("")
	}
	id := p.ID
	return app.Div().Body(
		app.P().ID("photo-origin").Class("quiet").Text(words),
		app.Button().Type("button").Class("row-side").DataSet("do", "drop-origin").Text(say("Remove place and time")).OnClick(func(ctx app.Context, _ app.Event) {
			for _, p := range w.doc.Photos {
				if p.ID == id {
					p.Origin = nil
					e, err := storage.PutPhoto(w.doc, p)
					w.commit(ctx, e, err)
					return
				}
			}
		}, id))
}

// originWords says where and when a photo was taken, by its camera; empty when
// that is not kept.
func originWords(p *storage.Photo) string {
	if p.Origin == nil {
		return ""
	}
	var place, time string
	if at := p.Origin.Position; at != nil {
		place = sayWith("Taken at latitude {0}°, longitude {1}°.", degreesOf(at.Latitude), degreesOf(at.Longitude))
	}
	if p.Origin.Clock != "" {
		time = sayWith("By the camera's clock: {0}.", clockWords(p.Origin.Clock))
	}
	return sentences(place, time)
}

// degreesOf writes degrees to a tenth of a metre or so, with a true minus.
func degreesOf(v float64) string {
	return language.Number(strconv.FormatFloat(v, 'f', 6, 64))
}

// clockWords writes the camera's clock as it stood, without its offset: that is
// what the crew's watch showed.
func clockWords(clock string) string {
	const long = len("2026-05-01T10:20")
	if len(clock) < long {
		return clock
	}
	return language.Date(clock[:10]) + " " + clock[11:long]
}
