package app

import (
	"context"
	"encoding/json"
	"errors"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/storage/replication"
)

// sending is what this page knows of how the device stands to the yard. One
// page of all that are open speaks to the yard (see holdYard in loader.js); it
// tells the others over a channel.
type sending struct {
	status   replication.Status // what is not in the yard yet, worked out from the store
	statused bool
	line     lineState
	runs     bool      // this page is the one that speaks to the yard
	counting bool      // status is being read
	stale    bool      // and has to be read again
	told     time.Time // when the other pages were told last
	telling  bool
	watching bool // the screen shows how things stand
	channel  app.Value
}

// lineState is how the line to the yard is, as the page that runs it says.
type lineState struct {
	Words string // what went wrong last, "" when nothing did
	Shut  bool   // the yard does not let this device in
	Next  string // when it is tried again, RFC 3339
	Good  string // when the yard last answered, RFC 3339

	Site, Photo string // on its way
	Done, Total int64  // bytes of it
	Down        bool   // it comes from the yard
}

const (
	yardChannel  = "pegpour-yard"
	yardHurry    = "hurry"                // asks the page that runs to try at once
	yardTellEach = 300 * time.Millisecond // screens are told no more often than that
)

// startSending lets this page speak to the yard as soon as no other one does.
func (w *workspace) startSending() {
	if !app.IsClient || YardTransport == nil {
		return
	}
	window := app.Window()
	client := w.yard()
	if channel := window.Get("BroadcastChannel"); channel.Truthy() {
		w.channel = channel.New(yardChannel)
		w.channel.Set("onmessage", app.FuncOf(func(_ app.Value, args []app.Value) any {
			if len(args) > 0 {
				w.heard(args[0].Get("data").String())
			}
			return nil
		}))
	}
	hurry := app.FuncOf(func(app.Value, []app.Value) any {
		if window.Get("document").Get("visibilityState").String() != "hidden" {
			client.Hurry()
		}
		return nil
	})
	window.Call("addEventListener", "online", hurry)
	window.Get("document").Call("addEventListener", "visibilitychange", hurry)
	run := app.FuncOf(func(app.Value, []app.Value) any {
		go func() {
			w.aside(func() { w.runs = true })
			client.Run(context.Background(), w.stepped)
		}()
		return nil
	})
	if shell := window.Get(shellObject); shell.Truthy() && shell.Get("holdYard").Truthy() {
		shell.Call("holdYard", run)
		return
	}
	run.Invoke()
}

// stepped is called after each step to the yard, on a goroutine of its own.
func (w *workspace) stepped() {
	w.aside(func() {
		if w.telling {
			return
		}
		w.telling = true
		go func() {
			time.Sleep(yardTellEach)
			w.aside(func() {
				w.telling = false
				w.readLine()
			})
		}()
	})
}

// readLine takes over what the client says of the line, and tells other pages.
func (w *workspace) readLine() {
	w.line = lineOf(w.yard().Line())
	w.tell(w.line)
	w.readStatus()
}

func lineOf(l replication.Line) lineState {
	out := lineState{Site: l.Now.Site, Photo: l.Now.Photo, Done: l.Now.Done, Total: l.Now.Total, Down: l.Now.Down}
	if l.Error != nil {
		out.Words, out.Shut = yardWords(l.Error), errors.Is(l.Error, replication.ErrUnpaired)
		out.Next = l.NextTry.UTC().Format(time.RFC3339)
	}
	if !l.LastGood.IsZero() {
		out.Good = l.LastGood.UTC().Format(time.RFC3339)
	}
	return out
}

func (w *workspace) tell(l lineState) {
	if w.channel == nil {
		return
	}
	if text, err := json.Marshal(l); err == nil {
		w.channel.Call("postMessage", string(text))
	}
}

// heard takes what another page says.
func (w *workspace) heard(text string) {
	if text == yardHurry {
		w.yard().Hurry()
		return
	}
	var l lineState
	if json.Unmarshal([]byte(text), &l) != nil {
		return
	}
	w.aside(func() {
		if !w.runs {
			w.line = l
			w.readStatus()
		}
	})
}

// hurryYard has whichever page speaks to the yard try at once.
func (w *workspace) hurryYard() {
	w.yard().Hurry()
	if w.channel != nil {
		w.channel.Call("postMessage", yardHurry)
	}
}

// lookAtYard is called by a screen that shows how things stand to the yard.
func (w *workspace) lookAtYard() {
	w.watching = true
	if w.runs {
		w.line = lineOf(w.yard().Line())
	}
	w.stale = true
	w.readStatus()
}

// readStatus works out anew what is not in the yard yet, off the UI goroutine,
// for a screen that shows it: while somebody types, none does.
func (w *workspace) readStatus() {
	if w.counting {
		w.stale = true
		return
	}
	if YardTransport == nil || !w.watching {
		return
	}
	w.counting, w.stale = true, false
	client := w.yard()
	go func() {
		status, err := client.Status(context.Background())
		w.dispatch(func(app.Context) {
			w.counting = false
			if err == nil {
				w.status, w.statused = status, true
				w.countAlone()
				if w.line.Good == "" && !status.LastGood.IsZero() {
					w.line.Good = status.LastGood.UTC().Format(time.RFC3339)
				}
			}
			if w.stale {
				w.readStatus()
			}
		})
	}()
}

// aside runs f on the UI goroutine without drawing the screen anew, unless it is
// one that shows how things stand: typing is left alone.
func (w *workspace) aside(f func()) {
	w.run(func() {
		f()
		if w.watching {
			w.refresh(w.screen)
		}
	})
}

// lookAway is called when such a screen is left.
func (w *workspace) lookAway() { w.watching = false }
