package yardlink

import (
	"context"
	"encoding/json"
	"errors"
	"math/rand/v2"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/shell"
	"pegpour/storage/replication"
)

// Link is how this device stands to the yard. One page of all that are open speaks
// to the yard (see holdYard in loader.js); it tells the others over a channel. It is
// touched on the goroutine of the screens only.
type Link struct {
	*editing.Device

	// Status is what is not in the yard yet, worked out from the store; Known says
	// that it was.
	Status replication.Status
	Known  bool
	Line   Line
	// Counted hears of each new Status; it may be nil.
	Counted func()
	// Deleted hears that a site went because the yard deleted it; it may be nil.
	Deleted func()

	transport replication.Transport
	client    *replication.Client
	runs      bool // this page is the one that speaks to the yard
	counting  bool // Status is being read
	stale     bool // and has to be read again
	telling   bool
	watching  bool // the screen shows how things stand
	channel   app.Value
}

// New returns the link of a device; transport carries requests to the yard and may
// be nil where there is none.
func New(d *editing.Device, transport replication.Transport) *Link {
	return &Link{Device: d, transport: transport}
}

// Client returns the one client of this page that speaks to the yard with the key
// that the device's store keeps. The store must be open.
func (l *Link) Client() *replication.Client {
	if l.client == nil {
		l.client = replication.NewClient(l.Store, l.transport, replication.Options{
			Now: time.Now, Random: rand.Float64, PollEvery: time.Minute, Quiet: 2 * time.Second, Beside: l.HasAside,
			Deleted: func(string) { l.Dispatch(func(app.Context) { l.deleted() }) }})
	}
	return l.client
}

// Line is how the line to the yard is, as the page that runs it says.
type Line struct {
	Words string // what went wrong last, "" when nothing did
	Shut  bool   // the yard does not let this device in
	Next  string // when it is tried again, RFC 3339
	Good  string // when the yard last answered, RFC 3339
	Full  string // the limit of the yard that this device comes near to: replication.Line

	Site, Photo string // on its way
	Done, Total int64  // bytes of it
	Down        bool   // it comes from the yard
}

const (
	yardChannel  = "pegpour-yard"
	yardHurry    = "hurry"                // asks the page that runs to try at once
	yardTellEach = 300 * time.Millisecond // screens are told no more often than that
)

// Start lets this page speak to the yard as soon as no other one does.
func (l *Link) Start() {
	if !app.IsClient || l.transport == nil {
		return
	}
	page := app.Window()
	client := l.Client()
	if channel := page.Get("BroadcastChannel"); channel.Truthy() {
		l.channel = channel.New(yardChannel)
		l.channel.Set("onmessage", app.FuncOf(func(_ app.Value, args []app.Value) any {
			if len(args) > 0 {
				l.receive(args[0].Get("data").String())
			}
			return nil
		}))
	}
	hurry := app.FuncOf(func(app.Value, []app.Value) any {
		if page.Get("document").Get("visibilityState").String() != "hidden" {
			client.Hurry()
		}
		return nil
	})
	page.Call("addEventListener", "online", hurry)
	page.Get("document").Call("addEventListener", "visibilitychange", hurry)
	run := app.FuncOf(func(app.Value, []app.Value) any {
		go func() {
			l.UpdateQuietly(func() { l.runs = true })
			client.Run(context.Background(), l.noteStep)
		}()
		return nil
	})
	if loader := shell.Object(); loader != nil && loader.Get("holdYard").Truthy() {
		loader.Call("holdYard", run)
		return
	}
	run.Invoke()
}

// noteStep is called after each step to the yard, on a goroutine of its own.
func (l *Link) noteStep() {
	l.UpdateQuietly(func() {
		if l.telling {
			return
		}
		l.telling = true
		go func() {
			time.Sleep(yardTellEach)
			l.UpdateQuietly(func() {
				l.telling = false
				l.updateLine()
			})
		}()
	})
}

// updateLine takes over what the client says of the line, and tells other pages.
func (l *Link) updateLine() {
	l.Line = l.lineOf(l.Client().Line())
	l.broadcast(l.Line)
	l.readStatus()
}

func (l *Link) lineOf(line replication.Line) Line {
	out := Line{Site: line.Now.Site, Photo: line.Now.Photo, Done: line.Now.Done, Total: line.Now.Total,
		Down: line.Now.Down, Full: line.Full}
	if line.Error != nil {
		out.Words, out.Shut = ErrorWords(l.Speaker, line.Error), errors.Is(line.Error, replication.ErrUnpaired)
		out.Next = line.NextTry.UTC().Format(time.RFC3339)
	}
	if !line.LastGood.IsZero() {
		out.Good = line.LastGood.UTC().Format(time.RFC3339)
	}
	return out
}

func (l *Link) broadcast(line Line) {
	if l.channel == nil {
		return
	}
	if text, err := json.Marshal(line); err == nil {
		l.channel.Call("postMessage", string(text))
	}
}

// receive takes what another page says.
func (l *Link) receive(text string) {
	if text == yardHurry {
		l.Client().Hurry()
		return
	}
	var line Line
	if json.Unmarshal([]byte(text), &line) != nil {
		return
	}
	l.UpdateQuietly(func() {
		if !l.runs {
			l.Line = line
			l.readStatus()
		}
	})
}

// Hurry has whichever page speaks to the yard try at once.
func (l *Link) Hurry() {
	l.Client().Hurry()
	if l.channel != nil {
		l.channel.Call("postMessage", yardHurry)
	}
}

// Watch is called by a screen that shows how things stand to the yard.
func (l *Link) Watch() {
	l.watching = true
	if l.runs {
		l.Line = l.lineOf(l.Client().Line())
	}
	l.stale = true
	l.readStatus()
}

// readStatus works out anew what is not in the yard yet, off the goroutine of the screens,
// for a screen that shows it: while somebody types, none does.
func (l *Link) readStatus() {
	if l.counting {
		l.stale = true
		return
	}
	if l.transport == nil || !l.watching {
		return
	}
	l.counting, l.stale = true, false
	client := l.Client()
	go func() {
		status, err := client.Status(context.Background())
		l.Dispatch(func(app.Context) {
			l.counting = false
			if err == nil {
				l.Status, l.Known = status, true
				l.counted()
				if l.Line.Good == "" && !status.LastGood.IsZero() {
					l.Line.Good = status.LastGood.UTC().Format(time.RFC3339)
				}
			}
			if l.stale {
				l.readStatus()
			}
		})
	}()
}

// UpdateQuietly runs f on the goroutine of the screens without drawing the screen anew, unless it is
// one that shows how things stand: typing is left alone.
func (l *Link) UpdateQuietly(f func()) {
	l.Run(func() {
		f()
		if l.watching {
			l.Refresh(l.Screen)
		}
	})
}

// Unwatch is called when such a screen is left.
func (l *Link) Unwatch() { l.watching = false }

func (l *Link) deleted() {
	shell.ForgetList()
	if l.Deleted != nil {
		l.Deleted()
	}
}

func (l *Link) counted() {
	if l.Counted != nil {
		l.Counted()
	}
}

// ForgetLine is called when this device was paired anew or left the yard: what was
// known of the line holds no more.
func (l *Link) ForgetLine() {
	l.Line = Line{}
	l.Hurry()
	l.Watch()
}
