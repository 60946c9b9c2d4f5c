package keeping

import (
	"context"
	"errors"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/window"
	"pegpour/app/yardlink"
	"pegpour/storage/replication"
)

// pairing is the form that pairs this device with a yard.
func (s *yardScreen) pairing() app.UI {
	w := s.w
	return app.Elem("form").Class("sign-in").OnSubmit(func(ctx app.Context, e app.Event) {
		e.PreventDefault()
		s.pair(window.ValueOf("yard-code"), window.ValueOf("yard-name"))
	}).Body(
		element.Text("h2", "", w.Say("Pair this device with the yard")),
		element.Text("p", "",
			w.Say("The yard is your own server. What is measured here goes there by itself whenever there is signal, and what the office corrects comes back. Without one everything works and stays on this device.")),
		app.If(w.Line.Shut && w.Status.Paired, element.Status("p", "error", "alert", w.Line.Words)),
		app.If(s.code == "",
			element.Text("p", "quiet",
				w.Say("The office shows a code and a picture of it under Devices; a phone's camera that looks at the picture comes here by itself. A code is good once and for ten minutes."))),
		app.If(s.code != "", element.Text("p", "", w.Say("The code came with the picture. It is good once and for ten minutes."))),
		app.If(w.Status.Paired && !w.Line.Shut,
			element.Text("p", "quiet", w.SayWith("This device is paired already, as {0}: pairing again gives it a new key.", w.Status.Device.Name))),
		element.Label("yard-code", w.Say("Code")),
		app.Input().ID("yard-code").Class("words").Type("text").Attr("autocomplete", "off").
			Attr("autocapitalize", "characters").Attr("spellcheck", "false").
			Placeholder("ABCDE-FGHJK").Value(s.code).Aria("describedby", "yard-says"),
		element.Label("yard-name", w.Say("Name of this device, as the yard will list it")),
		app.Input().ID("yard-name").Class("words").Type("text").Attr("autocomplete", "off").Value(s.ownName()).
			Aria("describedby", "yard-says"),
		element.Known("p", "yard-says", "error", "alert", s.problem),
		element.Box("div", "sign-in-do",
			app.If(s.code != "" && w.Status.Paired, element.Button("wide", w.Say("Not now"), func(app.Context, app.Event) { s.code = "" })),
			app.Button().Type("submit").Class("primary").DataSet("do", "pair").Disabled(s.busy).Text(w.Say("Pair")),
		),
	)
}

// ownName is what the device is offered to be called.
func (s *yardScreen) ownName() string {
	switch w := s.w; {
	case w.Status.Device.Name != "":
		return w.Status.Device.Name
	case w.Shop != nil && w.Shop.Settings.Crew != "":
		return w.Shop.Settings.Crew
	}
	return s.w.Say("Phone")
}

// pair uses a code up.
func (s *yardScreen) pair(code, name string) {
	code, name = strings.TrimSpace(code), strings.TrimSpace(name)
	if s.problem = yardlink.MissingToPair(s.w.Speaker, code, name,
		s.w.Say("The name is missing: the yard lists this device by it.")); s.problem != "" {
		return
	}
	s.busy = true
	w := s.w
	client := w.Client()
	go func() {
		c, stop := context.WithTimeout(context.Background(), time.Minute)
		defer stop()
		err := client.Pair(c, code, name)
		w.Dispatch(func(app.Context) {
			s.busy = false
			switch {
			case errors.Is(err, replication.ErrUnpaired):
				s.problem = w.Say("The yard does not take this code: it is mistyped, used already, or older than ten minutes. Ask for a new one.")
			case errors.Is(err, replication.ErrNotInYard):
				s.problem = w.Say("This server keeps no yard: it was started without a place for its data.")
			case err != nil:
				s.problem = yardlink.ErrorWords(w.Speaker, err)
			default:
				s.code = ""
				w.ForgetLine()
			}
		})
	}()
}

// device says what is paired, since when, and how to stop.
func (s *yardScreen) device() app.UI {
	w := s.w
	d := w.Status.Device
	role := w.Say("a crew's device")
	if d.Role == "office" {
		role = w.Say("the office's device")
	}
	return element.Region("section", "list", w.Say("This device"),
		element.Text("h2", "", w.Say("This device")),
		element.Known("p", "paired-as", "", "", w.SayWith("Paired as {0}, {1}, since {2}.", d.Name, role, w.LocalTime(w.Status.Since))),
		app.If(d.Role == "office", element.Link("wide", "/office", w.Say("Open the office"))),
		app.If(!s.leaving, element.Doing("wide", "leave", w.Say("Stop the pairing"), func(app.Context, app.Event) { s.leaving = true })),
		app.If(s.leaving, element.Box("div", "bar leaving",
			element.Text("span", "", s.leavingWords()),
			app.Button().Type("button").DataSet("do", "stay").Text(w.Say("Stay paired")).
				OnClick(func(app.Context, app.Event) { s.leaving = false }),
			app.Button().Type("button").DataSet("do", "leave-now").Disabled(s.busy).Text(w.Say("Stop the pairing")).
				OnClick(func(app.Context, app.Event) { s.leave() }))),
		app.If(s.problem != "", element.Status("p", "error", "alert", s.problem)),
	)
}

func (s *yardScreen) leavingWords() string {
	words := s.w.Say("Every site stays here and in the yard; nothing goes to and fro any more. Pairing again takes a new code.")
	if s.w.NotInYard() > 0 {
		words = yardlink.SitesAndPhotos(s.w.Speaker, s.w.Status.Waiting, s.w.Status.WaitingPhotos) + ". " + words
	}
	return words
}

func (s *yardScreen) leave() {
	s.busy = true
	w := s.w
	client := w.Client()
	go func() {
		err := client.Unpair(context.Background())
		w.Dispatch(func(app.Context) {
			s.busy, s.leaving = false, false
			if err != nil {
				s.problem = w.StoreErrorWords(err)
				return
			}
			w.ForgetLine()
		})
	}()
}
