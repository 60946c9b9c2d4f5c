package shell

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/language"
	"pegpour/app/turns"
	"pegpour/app/window"
)

// Words fetches the files of the languages by way of the loader, and says on the
// page which one it is in. It implements language.Page.
type Words struct{ Turns *turns.Turns }

// FetchWords implements language.Page.
func (w Words) FetchWords(code string, then func(string), fail func()) {
	shell := Object()
	if shell == nil || !shell.Get("speak").Truthy() {
		return
	}
	window.Await(shell.Call("speak", code), func(text app.Value) {
		file := text.String()
		w.Turns.Dispatch(func(app.Context) { then(file) })
	}, func(app.Value) {
		w.Turns.Dispatch(func(app.Context) { fail() })
	})
}

// ShowLanguage implements language.Page.
func (Words) ShowLanguage(code string, rightToLeft bool) {
	if !app.IsClient {
		return
	}
	direction := "ltr"
	if rightToLeft {
		direction = "rtl"
	}
	root := app.Window().Get("document").Get("documentElement")
	root.Call("setAttribute", "lang", code)
	root.Call("setAttribute", "dir", direction)
}

// SpeakFirst takes up the language that the loader has begun to fetch, so that the
// first screen is in it already. It waits for the file, which is kept on the device
// after the first start, and must not be called on the goroutine of the screens.
// Without the file the screens are in English.
func SpeakFirst(l *language.Speaker) {
	shell := Object()
	if shell == nil || !shell.Get("words").Truthy() {
		return
	}
	got := make(chan *string, 1)
	window.Await(shell.Get("words"), func(text app.Value) {
		file := text.String()
		got <- &file
	}, func(app.Value) { got <- nil })
	if file := <-got; file != nil {
		l.SpeakFirst(shell.Get("chosen").String(), *file)
		return
	}
	l.SpeakFrom("")
}

// Language is one that there is a file of.
type Language struct{ Code, Name string }

// Languages are those of this copy, as the page lists them: "de|Deutsch|address",
// with semicolons between.
func Languages() []Language {
	all := []Language{{"en", "English"}}
	if !app.IsClient {
		return all
	}
	list := app.Window().Get("document").Get("documentElement").Get("dataset").Get("words")
	if !list.Truthy() {
		return all
	}
	for _, entry := range strings.Split(list.String(), ";") {
		if part := strings.Split(entry, "|"); len(part) == 3 {
			all = append(all, Language{part[0], part[1]})
		}
	}
	return all
}
