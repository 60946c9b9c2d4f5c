package fieldbook

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/storage"
)

// originSwitch chooses whether new photos keep where and when they were taken,
// and says where that goes.
func (s *photosScreen) originSwitch() app.UI {
	w := s.w
	kept := ui.KeepsOrigin(w)
	words := w.Say("Photos are made smaller on the phone and lose their place and camera data by it. Only the focal length of the lens is kept beside them: the plan on a photo asks for it.")
	if kept {
		words = w.Say("Place and time are read from the file and kept beside the photo in this site. They go with the site to the yard and into what is saved of it, never into the owner's page or picture. The photo itself is made smaller and holds neither.")
	}
	return element.Box("div", "",
		element.Box("label", "check",
			app.Input().Type("checkbox").ID("keep-origin").Checked(kept).Aria("describedby", "origin-says").
				OnChange(func(ctx app.Context, e app.Event) {
					value := ""
					if e.Get("target").Get("checked").Bool() {
						value = storage.OriginKept
					}
					edit, err := storage.SetSetting(w.Shop, storage.SettingOrigin, value)
					w.CommitShop(ctx, edit, err)
				}),
			app.Text(w.Say("Keep where and when new photos were taken"))),
		element.Known("p", "origin-says", "quiet", "", words),
		app.If(kept && s.unsaid,
			element.Known("p", "origin-unsaid", "help", "status",
				w.Say("The file did not say where it was taken. Some phones take that out before they hand a photo over: let the camera keep the place, or choose the photo as a file."))))
}

// origin shows where and when the photo in hand was taken, and takes it away.
func (s *photosScreen) origin(p *storage.Photo) app.UI {
	w := s.w
	words := OriginWords(w.Speaker, p)
	if words == "" {
		return app.Text("")
	}
	id := p.ID
	return element.Box("div", "",
		element.Known("p", "photo-origin", "quiet", "", words),
		element.Doing("row-side", "drop-origin", w.Say("Remove place and time"), func(ctx app.Context, _ app.Event) {
			for _, p := range w.Doc.Photos {
				if p.ID == id {
					p.Origin = nil
					e, err := storage.PutPhoto(w.Doc, p)
					w.Commit(ctx, e, err)
					return
				}
			}
		}, id))
}

// OriginWords says where and when a photo was taken, by its camera; empty when
// that is not kept.
func OriginWords(l *language.Speaker, p *storage.Photo) string {
	if p.Origin == nil {
		return ""
	}
	var place, time string
	if at := p.Origin.Position; at != nil {
		place = l.SayWith("Taken at latitude {0}°, longitude {1}°.", degreesOf(l, at.Latitude), degreesOf(l, at.Longitude))
	}
	if p.Origin.Clock != "" {
		time = l.SayWith("By the camera's clock: {0}.", clockWords(l, p.Origin.Clock))
	}
	return language.Sentences(place, time)
}

// degreesOf writes degrees to a tenth of a metre or so, with a true minus.
func degreesOf(l *language.Speaker, v float64) string {
	return l.Number(strconv.FormatFloat(v, 'f', 6, 64))
}

// clockWords writes the camera's clock as it stood, without its offset: that is
// what the crew's watch showed.
func clockWords(l *language.Speaker, clock string) string {
	const long = len("2026-05-01T10:20")
	if len(clock) < long {
		return clock
	}
	return l.Date(clock[:10]) + " " + clock[11:long]
}
