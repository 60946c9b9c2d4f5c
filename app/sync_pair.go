package app

import (
	"context"
	"errors"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/storage/replication"
)

// pairing is the form that pairs this device with a yard.
func (s *yardScreen) pairing() app.UI {
	w := s.w
	return app.Form().Class("sign-in").OnSubmit(func(ctx app.Context, e app.Event) {
		e.PreventDefault()
		s.pair(valueOf("yard-code"), valueOf("yard-name"))
	}).Body(
		app.H2().Text(say("Pair this device with the yard")),
		app.P().Text(say("The yard is your own server. What is measured here goes there by itself whenever there is signal, and what the office corrects comes back. Without one everything works and stays on this device.")),
		app.If(w.line.Shut && w.status.Paired, app.P().Class("error").Role("alert").Text(w.line.Words)),
		app.If(s.code == "", app.P().Class("quiet").Text(say("The office shows a code and a picture of it under Devices; a phone's camera that looks at the picture comes here by itself. A code is good once and for ten minutes."))),
		app.If(s.code != "", app.P().Text(say("The code came with the picture. It is good once and for ten minutes."))),
		app.If(w.status.Paired && !w.line.Shut, app.P().Class("quiet").Text(holes(say("This device is paired already, as {0}: pairing again gives it a new key."), w.status.Device.Name))),
		app.Label().For("yard-code").Text(say("Code")),
		app.Input().ID("yard-code").Class("words").Type("text").Attr("autocomplete", "off").Attr("autocapitalize", "characters").Attr("spellcheck", "false").
			Placeholder("ABCDE-FGHJK").Value(s.code).Aria("describedby", "yard-says"),
		app.Label().For("yard-name").Text(say("Name of this device, as the yard will list it")),
		app.Input().ID("yard-name").Class("words").Type("text").Attr("autocomplete", "off").Value(s.ownName()).Aria("describedby", "yard-says"),
		app.P().ID("yard-says").Class("error").Role("alert").Text(s.problem),
		app.Div().Class("sign-in-do").Body(
			app.If(s.code != "" && w.status.Paired, app.Button().Type("button").Class("wide").Text(say("Not now")).OnClick(func(app.Context, app.Event) { s.code = "" })),
			app.Button().Type("submit").Class("primary").DataSet("do", "pair").Disabled(s.busy).Text(say("Pair")),
		),
	)
}

// ownName is what the device is offered to be called.
func (s *yardScreen) ownName() string {
	switch w := s.w; {
	case w.status.Device.Name != "":
		return w.status.Device.Name
	case w.shop != nil && w.shop.Settings.Crew != "":
		return w.shop.Settings.Crew
	}
	return say("Phone")
}

// missingToPair says what is still to be typed before a code can be used; ""
// when nothing is.
func missingToPair(code, name, noName string) string {
	switch {
	case code == "":
		return say("The code is missing: ten letters and digits, such as ABCDE-FGHJK.")
	case name == "":
		return noName
	}
	return ""
}

// pair uses a code up.
func (s *yardScreen) pair(code, name string) {
	code, name = strings.TrimSpace(code), strings.TrimSpace(name)
	if s.problem = missingToPair(code, name, say("The name is missing: the yard lists this device by it.")); s.problem != "" {
		return
	}
	s.busy = true
	w := s.w
	client := w.yard()
	go func() {
		c, stop := context.WithTimeout(context.Background(), time.Minute)
		defer stop()
		err := client.Pair(c, code, name)
		w.dispatch(func(app.Context) {
			s.busy = false
			switch {
			case errors.Is(err, replication.ErrUnpaired):
				s.problem = say("The yard does not take this code: it is mistyped, used already, or older than ten minutes. Ask for a new one.")
			case errors.Is(err, replication.ErrNotInYard):
				s.problem = say("This server keeps no yard: it was started without a place for its data.")
			case err != nil:
				s.problem = yardWords(err)
			default:
				s.code = ""
				w.line = lineState{}
				theOffice.paired, theOffice.looked = false, false // it asks anew who this is
				w.hurryYard()
				w.lookAtYard()
			}
		})
	}()
}

// device says what is paired, since when, and how to stop.
func (s *yardScreen) device() app.UI {
	w := s.w
	d := w.status.Device
	role := say("a crew's device")
	if d.Role == "office" {
		role = say("the office's device")
	}
	return app.Section().Class("list").Aria("label", say("This device")).Body(
		app.H2().Text(say("This device")),
		app.P().ID("paired-as").Text(holes(say("Paired as {0}, {1}, since {2}."), d.Name, role, localTime(w.status.Since))),
		app.If(d.Role == "office", app.A().Class("wide").Href("/office").Text(say("Open the office"))),
		app.If(!s.leaving, app.Button().Type("button").Class("wide").DataSet("do", "leave").Text(say("Stop the pairing")).
			OnClick(func(app.Context, app.Event) { s.leaving = true })),
		app.If(s.leaving, app.Div().Class("bar leaving").Body(
			app.Span().Text(s.leavingWords()),
			app.Button().Type("button").DataSet("do", "stay").Text(say("Stay paired")).OnClick(func(app.Context, app.Event) { s.leaving = false }),
			app.Button().Type("button").DataSet("do", "leave-now").Disabled(s.busy).Text(say("Stop the pairing")).OnClick(func(app.Context, app.Event) { s.leave() }))),
		app.If(s.problem != "", app.P().Class("error").Role("alert").Text(s.problem)),
	)
}

func (s *yardScreen) leavingWords() string {
	words := say("Every site stays here and in the yard; nothing goes to and fro any more. Pairing again takes a new code.")
	if s.w.notInYard() > 0 {
		words = sitesAndPhotos(s.w.status.Waiting, s.w.status.WaitingPhotos) + ". " + words
	}
	return words
}

func (s *yardScreen) leave() {
	s.busy = true
	w := s.w
	client := w.yard()
	go func() {
		err := client.Unpair(context.Background())
		w.dispatch(func(app.Context) {
			s.busy, s.leaving = false, false
			if err != nil {
				s.problem = storeWords(err)
				return
			}
			w.line = lineState{}
			theOffice.paired, theOffice.looked = false, false
			w.hurryYard()
			w.lookAtYard()
		})
	}()
}
