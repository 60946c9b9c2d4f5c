package app

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/words"
	"pegpour/storage"
)

// languageFile is the file that language was read from, "" for English; the
// program for documents gets it with each order.
var languageFile string

// spokenCode is the setting that was followed last; asked is false until one was.
var spoken struct {
	code  string
	asked bool
	fault bool // the file could not be had
}

// SpeakAtStart takes up the language that the page's loader has begun to fetch,
// so that the first screen is in it already. It waits for the file, which is
// kept on the device after the first start, and must not be called on the UI
// goroutine. Without the file the screens are in English.
func SpeakAtStart() {
	shell := shellValue()
	if shell == nil || !shell.Get("words").Truthy() {
		return
	}
	spoken.asked, spoken.code = true, shell.Get("chosen").String()
	done := make(chan string, 1)
	await(shell.Get("words"), func(text app.Value) { done <- text.String() }, func() {
		spoken.asked = false
		done <- ""
	})
	takeLanguage(<-done)
}

func shellValue() app.Value {
	if !app.IsClient {
		return nil
	}
	if shell := app.Window().Get(shellObject); shell.Truthy() {
		return shell
	}
	return nil
}

// speak changes over to the language of a setting, "" for the phone's own,
// unless it is spoken already. It is called on the UI goroutine.
func (w *workspace) speak(code string) {
	if spoken.asked && spoken.code == code {
		return
	}
	spoken.asked, spoken.code, spoken.fault = true, code, false
	shell := shellValue()
	if shell == nil || !shell.Get("speak").Truthy() {
		return
	}
	await(shell.Call("speak", code), func(text app.Value) {
		file := text.String()
		w.dispatch(func(app.Context) {
			if spoken.code != code || file == languageFile {
				return
			}
			takeLanguage(file)
			if w.doc != nil {
				w.design() // the drawings are drawn anew
			}
		})
	}, func() {
		w.dispatch(func(app.Context) {
			spoken.asked = false // no signal and not kept: tried again with the next change
			spoken.fault = true
		})
	})
}

// takeLanguage makes the words of a file those of the screens; what is no such
// file leaves English.
func takeLanguage(file string) {
	language, languageFile = nil, ""
	if l, err := words.Read([]byte(file)); err == nil {
		language, languageFile = l, file
	}
	if !app.IsClient {
		return
	}
	code, direction := "en", "ltr"
	if language != nil {
		code = language.Code
		if language.RightToLeft {
			direction = "rtl"
		}
	}
	root := app.Window().Get("document").Get("documentElement")
	root.Call("setAttribute", "lang", code)
	root.Call("setAttribute", "dir", direction)
}

// tongue is a language there is a file of.
type tongue struct{ code, name string }

// tongues are those of this copy, as the page lists them: "de|Deutsch|address",
// with semicolons between.
func tongues() []tongue {
	all := []tongue{{"en", "English"}}
	if !app.IsClient {
		return all
	}
	list := app.Window().Get("document").Get("documentElement").Get("dataset").Get("words")
	if !list.Truthy() {
		return all
	}
	for _, entry := range strings.Split(list.String(), ";") {
		if part := strings.Split(entry, "|"); len(part) == 3 {
			all = append(all, tongue{part[0], part[1]})
		}
	}
	return all
}

// languageChoice chooses the language, each by its own name.
func languageChoice(w *workspace) app.UI {
	now := w.shop.Settings.Language
	all := tongues()
	return app.Div().Class("setting").Body(
		app.Label().For("setting-language").Text(say("Language")),
		app.Select().ID("setting-language").OnChange(func(ctx app.Context, e app.Event) {
			edit, err := storage.SetSetting(w.shop, storage.SettingLanguage, e.Get("target").Get("value").String())
			w.commitShop(ctx, edit, err)
		}).Body(
			app.Option().Value("").Selected(now == "").Text(say("As the phone has it")),
			app.Range(all).Slice(func(i int) app.UI {
				return app.Option().Value(all[i].code).Lang(all[i].code).Selected(now == all[i].code).Text(all[i].name)
			})),
		app.If(spoken.fault, app.P().Class("error").Role("alert").Text(say("The words of this language could not be fetched: choose it again with signal."))),
	)
}
