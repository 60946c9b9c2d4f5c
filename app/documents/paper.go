package documents

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/turns"
	"pegpour/app/window"
)

// Paper is a file to hand out, as the browser holds it.
type Paper struct {
	Name string
	file app.Value // a File
}

// NewPaper makes a file of text or of a Uint8Array.
func NewPaper(name, media string, content any) Paper {
	return Paper{name, app.Window().Get("File").New(window.Array(content), name, map[string]any{"type": media})}
}

// Save lets the browser save it.
func (p Paper) Save() { window.Save(p.Name, p.file) }

// Address gives the file an address on the page.
func (p Paper) Address() string { return window.AddressOf(p.file) }

// CanShare reports whether this browser hands such files to another app.
func CanShare(papers []Paper) bool {
	navigator := app.Window().Get("navigator")
	if len(papers) == 0 || !navigator.Get("share").Truthy() || !navigator.Get("canShare").Truthy() {
		return false
	}
	return navigator.Call("canShare", map[string]any{"files": filesOf(papers)}).Bool()
}

func filesOf(papers []Paper) app.Value {
	files := window.Array()
	for i := range papers {
		files.Call("push", papers[i].file)
	}
	return files
}

// HandOut offers files to the phone's share sheet. One that it does not take is
// saved; of several each is saved at a tap of its own. It names the file it saved; later is called when the browser wants another tap first.
func HandOut(t *turns.Turns, title string, papers []Paper, later func(app.Context)) (saved string) {
	var taken, left []Paper
	if CanShare(papers) {
		taken = papers
	} else {
		for _, p := range papers {
			if CanShare([]Paper{p}) {
				taken = append(taken, p)
			} else {
				left = append(left, p)
			}
		}
		// One by one is no use to anyone who wants the lot in one message.
		if !CanShare(taken) {
			taken, left = nil, papers
		}
	}
	if len(left) == 1 {
		left[0].Save()
		saved = left[0].Name
	}
	if len(taken) == 0 {
		return saved
	}
	promise := app.Window().Get("navigator").Call("share", map[string]any{"files": filesOf(taken), "title": title})
	window.Await(promise, func(app.Value) {}, func(reason app.Value) {
		name := ""
		if reason != nil && reason.Truthy() {
			name = reason.Get("name").String()
		}
		switch name {
		case "AbortError": // the person thought better of it
		case "NotAllowedError":
			t.Dispatch(later)
		default:
			if len(taken) == 1 {
				taken[0].Save()
			}
		}
	})
	return saved
}

// canShareHere reports whether this browser hands any file to another app.
func canShareHere() bool {
	return app.IsClient && app.Window().Get("navigator").Get("canShare").Truthy()
}
