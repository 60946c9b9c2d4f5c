package office

import (
	"context"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/app/yardlink"
)

// The screens of the office.
const (
	officeSites   = "sites"
	officeDevices = "devices"
	officeDeleted = "deleted"
	officeRules   = "rules"
	officeUsers   = "people"
	officeHealth  = "health"
)

// frame is what every screen of the office has. Until the device may come in
// it holds the form for signing in instead of the content.
func (o *Office) frame(here string, content ...app.UI) app.UI {
	link := func(name, address, words string) app.UI {
		a := app.A().Class("quiet-link")
		if name == here {
			a = a.Class("here").ID("office-here").Aria("current", "page")
		}
		return a.Href(address).Text(o.w.Say(words))
	}
	inside := o.paired && o.code == ""
	var main []app.UI
	switch {
	case o.w.Failure != "":
		main = append(main, element.Status("p", "error", "alert", o.w.Failure))
	case !o.looked && !o.paired:
		main = append(main, element.Status("p", "quiet", "status", o.w.Say("Opening…")))
	case !inside:
		main = append(main, o.signIn())
	default:
		main = append(main, o.notices())
		main = append(main, content...)
	}
	return element.Box("div", "screen screen-office",
		ui.UpdateNotice(o.w),
		element.Box("header", "top",
			app.A().Class("icon").Href("/").Aria("label", o.w.Say("Sites on this device")).
				Title(o.w.Say("Sites on this device")).Body(ui.Sign(ui.SignBack)),
			element.Text("h1", "title", o.w.Say("Office")),
			app.If(inside, app.Elem("nav").Class("office-nav").Aria("label", o.w.Say("Screens of the office")).Body(
				link(officeSites, "/office", "Sites"), link(officeRules, "/office/rules", "Shop rules"),
				app.If(!o.reads, link(officeUsers, "/office/people", "People")),
				app.If(!o.reads, link(officeDevices, "/office/devices", "Devices")),
				app.If(!o.reads, link(officeDeleted, "/office/deleted", "Deleted")),
				app.If(!o.reads, link(officeHealth, "/office/health", "Health")))),
		),
		ui.Notices(o.w),
		app.Elem("main").Class("content").ID("content").Body(main...),
	)
}

// notices say what went wrong and what was done.
func (o *Office) notices() app.UI {
	switch {
	case o.problem != "":
		return element.Acting("div", "bar bar-stop", "alert", "",
			element.Text("span", "", o.problem),
			app.Button().Type("button").DataSet("do", "again").Text(o.w.Say("Try again")).
				OnClick(func(ctx app.Context, _ app.Event) {
					o.problem = ""
					if o.again != nil {
						o.again(ctx)
					}
				}))
	case o.told != "":
		return element.Acting("div", "bar", "status", "", element.Text("span", "", o.told))
	}
	return app.Text("")
}

// signIn asks for a code and a name for this browser.
func (o *Office) signIn() app.UI {
	return app.Elem("form").Class("sign-in").OnSubmit(func(ctx app.Context, e app.Event) {
		e.PreventDefault()
		o.signedIn(window.ValueOf("office-code"), window.ValueOf("office-name"))
	}).Body(
		element.Text("h2", "", o.w.Say("Sign in to the yard")),
		element.Text("p", "",
			o.w.Say("The office sees every site that the crews have sent. To come in it takes a code, which is good once and for ten minutes.")),
		element.Text("p", "quiet",
			o.w.Say("An office that is in already makes one under Devices. For the first one, whoever runs the yard types: pegpour pair -role office")),
		app.If(o.paired, element.Text("p", "quiet", o.w.SayWith("This browser is in already, as {0}.", o.device.Name))),
		app.If(!o.paired && o.device.Role == "crew",
			element.Text("p", "quiet", o.w.Say("This browser is paired as a crew's: signing in here makes it the office's."))),
		app.If(o.provider != "", element.Doing("wide", "provider", o.w.SayWith("Sign in with {0}", o.provider),
			func(app.Context, app.Event) { app.Window().Get("location").Call("assign", "/api/v1/sign-in/start") })),
		element.Label("office-code", o.w.Say("Code")),
		app.Input().ID("office-code").Class("words").Type("text").Attr("autocomplete", "off").
			Attr("autocapitalize", "characters").Attr("spellcheck", "false").
			Placeholder("ABCDE-FGHJK").Value(o.code).Aria("describedby", "office-says"),
		element.Label("office-name", o.w.Say("Name of this computer, as the yard will list it")),
		app.Input().ID("office-name").Class("words").Type("text").Attr("autocomplete", "off").Value(o.w.Say("Office")),
		element.Known("p", "office-says", "error", "alert", o.problem),
		element.Box("div", "sign-in-do",
			app.If(o.code != "", element.Button("wide", o.w.Say("Not now"), func(ctx app.Context, _ app.Event) {
				o.code = ""
				if o.paired && o.again != nil {
					o.again(ctx)
				}
			})),
			app.Button().Type("submit").Class("primary").DataSet("do", "sign-in").Disabled(o.busy).Text(o.w.Say("Sign in")),
		),
	)
}

// signedIn uses the code up.
func (o *Office) signedIn(code, name string) {
	code, name = strings.TrimSpace(code), strings.TrimSpace(name)
	if o.problem = yardlink.MissingToPair(o.w.Speaker, code, name,
		o.w.Say("The name is missing: the yard lists this computer by it.")); o.problem != "" {
		return
	}
	o.busy = true
	w := o.w
	o.ask(func(c context.Context) error {
		if err := o.link.Client().Pair(c, code, name); err != nil {
			return err
		}
		d, err := o.link.Client().Paired(c)
		w.Dispatch(func(ctx app.Context) {
			o.admit(d, err)
			o.code = ""
			if !o.paired {
				o.problem = w.Say("This code was for a crew's phone. The office needs a code of its own.")
			} else if o.again != nil {
				o.again(ctx)
			}
		})
		return err
	}, func(app.Context) { o.busy = false })
}

// signOut gives the key back.
func (o *Office) signOut(ctx app.Context) {
	o.ask(func(c context.Context) error { return o.link.Client().Unpair(c) }, func(ctx app.Context) {
		o.paired, o.looked, o.told, o.problem = false, true, "", ""
		o.list = officeList{}
		o.names = map[string]string{}
		ctx.Navigate("/office")
	})
}
