package app

import (
	"context"
	"errors"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/storage"
)

// keepingSafe is what is known of how safe the things on this device are.
type keepingSafe struct {
	room       storage.Estimate
	roomed     bool
	lastBackUp backUp
	alone      int // sites that changed since and are in no yard either
}

const (
	// keyBackUp is the record of the store that says what back-up was handed
	// over. A back-up does not hold it.
	keyBackUp = "last-back-up"
	// nudgeAfter is how many sites may be on this device only before the list of
	// sites says so.
	nudgeAfter = 3
	// fullAt is the part of the room from which on it is said to be nearly full.
	fullAt = 0.9
)

// lookAtRoom finds out how much room there is and when the last back-up was.
func (w *workspace) lookAtRoom() {
	store := w.store
	go func() {
		c := context.Background()
		room, err := store.Estimate(c)
		last, err2 := store.Exchanged(c, keyBackUp)
		w.dispatch(func(app.Context) {
			w.room, w.roomed = room, err == nil
			if err2 == nil {
				w.lastBackUp = readBackUp(last)
			}
			w.countAlone()
		})
	}()
}

// countAlone counts the sites that are nowhere but here.
func (w *workspace) countAlone() {
	w.alone = 0
	for i := range w.sites {
		s := &w.sites[i].Summary
		if s.Demo || s.Condition != storage.Sound || s.Revision != "" && w.lastBackUp.holds[s.ID] == s.Revision {
			continue
		}
		if w.status.Paired && w.siteTally(s.ID) == "" {
			continue
		}
		w.alone++
	}
}

// backUp says when a back-up that was handed over was begun, RFC 3339, and what
// it holds at least of each site. A clock that is set back proves nothing, so the
// times of sites and back-up are not compared. The zero one was never made.
type backUp struct {
	at    string
	holds map[string]storage.Revision
}

// record is the time, and a line for each site with its revision.
func (b backUp) record() []byte {
	text := []byte(b.at)
	for id, revision := range b.holds {
		text = append(text, "\n"+id+" "+string(revision)...)
	}
	return text
}

// readBackUp reads a record. What it does not name is taken to be in no back-up.
func readBackUp(record []byte) backUp {
	at, rest, _ := strings.Cut(string(record), "\n")
	b := backUp{at: at, holds: map[string]storage.Revision{}}
	for line := range strings.SplitSeq(rest, "\n") {
		if id, revision, found := strings.Cut(line, " "); found {
			b.holds[id] = storage.Revision(revision)
		}
	}
	return b
}

// hasOwn reports whether there is any site but those for show.
func (w *workspace) hasOwn() bool {
	for i := range w.sites {
		if !w.sites[i].Demo {
			return true
		}
	}
	return false
}

// nudge is a quiet bar on the list of sites: some are nowhere but here.
func (w *workspace) nudge() app.UI {
	if w.alone < nudgeAfter || !w.statused {
		return app.Text("")
	}
	return app.Div().Class("bar").ID("nudge").Role("status").Body(
		app.Span().Text(sayCount(w.alone, "One site is on this device only.", "{0} sites are on this device only.")),
		app.A().Href("/safe").Text(say("Back up")))
}

// safeLine is the line of the list of sites that leads to keeping safe.
func (w *workspace) safeLine() app.UI {
	return app.A().Class("tally").Href("/safe").ID("safe-line").Body(
		app.Span().Class("tally-name").Text(say("Keep safe")), app.Span().Class("tally-words").Text(w.backUpWords()))
}

func (w *workspace) backUpWords() string {
	if w.lastBackUp.at == "" {
		return say("no back-up yet")
	}
	return holes(say("last back-up {0}"), localTime(w.lastBackUp.at))
}

// safeScreen says how safe the things on this device are and what makes them
// safer: staying, installing, a back-up file and the way back from one.
type safeScreen struct {
	app.Compo
	w *workspace

	installed, installable bool

	making  bool
	made    *paper
	bytes   int64
	begun   backUp // what the file holds at least
	problem string
	again   bool
	asked   bool // whether the browser keeps things has been asked again

	restoring
}

func newSafeScreen() *safeScreen { return &safeScreen{w: current} }

// OnNav implements app.Navigator.
func (s *safeScreen) OnNav(ctx app.Context) {
	s.lookAtInstall(ctx)
	s.w.openList(ctx)
}

// OnAppInstallChange implements app.AppInstaller.
func (s *safeScreen) OnAppInstallChange(ctx app.Context) { s.lookAtInstall(ctx) }

func (s *safeScreen) lookAtInstall(ctx app.Context) {
	s.installable = ctx.IsAppInstallable()
	window := app.Window()
	s.installed = app.IsClient && (window.Call("matchMedia", "(display-mode: standalone)").Get("matches").Truthy() || window.Get("navigator").Get("standalone").Truthy())
}

// OnDismount implements app.Dismounter.
func (s *safeScreen) OnDismount() {
	s.w.lookAway()
	s.w.unfollow()
}

// Render implements app.Composer.
func (s *safeScreen) Render() app.UI {
	w := s.w
	if w.failure != "" || !w.listed {
		return plainFrame(say("Keep safe"), "/", w.opening())
	}
	return plainFrame(say("Keep safe"), "/",
		s.standing(), s.backUp(), s.restore(), s.staying(), s.install(), s.lacking(), s.damaged())
}

// standing says in one sentence how safe things are.
func (s *safeScreen) standing() app.UI {
	w := s.w
	words := say("Every site of this device is in a back-up or in the yard.")
	if !w.hasOwn() {
		words = say("There is no site of your own on this device yet.")
	}
	if w.alone > 0 {
		words = sayCount(w.alone, "One site is on this device only: not in a back-up, nor in the yard.", "{0} sites are on this device only: not in a back-up, nor in the yard.")
	}
	return app.Div().Class("yard-state").Body(
		app.P().ID("standing").Class("yard-tally").Role("status").Text(words),
		app.If(w.notInYard() > 0 && w.status.Paired, app.A().Class("wide").Href("/sync").Text(sitesAndPhotos(w.status.Waiting, w.status.WaitingPhotos))))
}

// backUp makes one file of everything and hands it over.
func (s *safeScreen) backUp() app.UI {
	w := s.w
	return app.Section().Class("safe").Aria("label", say("Back-up")).Body(
		app.H2().Text(say("Back-up")),
		app.P().Text(say("One file with every site, its history and photos, and the shop rules. Put it where this device is not: into a mail to yourself, a computer, a stick.")),
		app.P().Class("quiet").ID("last-back-up").Text(w.lastBackUpSentence()),
		app.Button().Type("button").Class("wide").DataSet("do", "back-up").Disabled(s.making).Text(say("Make a back-up file")).
			OnClick(func(app.Context, app.Event) { s.makeBackUp() }),
		app.If(s.making, app.P().Class("quiet").Role("status").Text(holes(say("Writing the file: {0}"), sizeWords(s.bytes)))),
		app.If(s.made != nil, app.Div().Class("safe-made").Role("status").Body(
			app.P().Text(holes(say("The file is ready: {0}. It is safe once it is saved or shared."), sizeWords(s.bytes))),
			app.If(s.again, app.P().Text(say("This phone wants one more tap before it shares."))),
			app.Div().Class("row").Body(
				app.If(s.made != nil && canShare([]paper{s.file()}), app.Button().Type("button").Class("wide").DataSet("do", "share-back-up").Text(say("Share")).
					OnClick(func(app.Context, app.Event) { s.handOver(true) })),
				app.Button().Type("button").Class("wide").DataSet("do", "save-back-up").Text(say("Save")).
					OnClick(func(app.Context, app.Event) { s.handOver(false) })))),
		app.If(s.problem != "", app.P().Class("error").Role("alert").Text(s.problem)),
	)
}

func (w *workspace) lastBackUpSentence() string {
	if w.lastBackUp.at == "" {
		return say("No back-up was made on this device yet.")
	}
	return holes(say("The last one was made at {0}."), localTime(w.lastBackUp.at))
}

func (s *safeScreen) file() paper {
	if s.made == nil {
		return paper{}
	}
	return *s.made
}

// makeBackUp writes the file, behind the edits that still wait to be kept.
func (s *safeScreen) makeBackUp() {
	w := s.w
	s.making, s.made, s.bytes, s.problem, s.again, s.begun = true, nil, 0, "", false, backUp{at: now(), holds: map[string]storage.Revision{}}
	w.background(func(context.Context) error {
		go func() {
			out := &blobWriter{grown: func(n int64) { w.dispatch(func(app.Context) { s.bytes = n }) }}
			// What changes from now on may or may not be in it and counts as not.
			sites, err := w.store.Sites(context.Background())
			if err == nil {
				err = w.store.BackUp(context.Background(), out)
			}
			blob := out.blob()
			w.dispatch(func(app.Context) {
				s.making = false
				for i := range sites {
					s.begun.holds[sites[i].ID] = sites[i].Revision
				}
				if err != nil {
					s.problem = holes(say("The back-up could not be made: {0}"), readingWords(err))
					return
				}
				name := "pegpour-" + time.Now().Format("2006-01-02-1504") + ".pegpour-backup"
				file := paperOf(name, "application/x-ndjson", blob)
				s.made, s.bytes = &file, out.written
			})
		}()
		return nil
	})
}

// handOver shares or saves the file, and writes down that it was.
func (s *safeScreen) handOver(share bool) {
	w := s.w
	if share {
		w.handOut(say("Back-up of Pegpour"), []paper{*s.made}, func(app.Context) { s.again = true })
	} else {
		s.made.save()
	}
	made := s.begun
	w.background(func(c context.Context) error {
		if err := w.store.KeepExchanged(c, nil, []storage.Record{{Key: keyBackUp, Value: made.record()}}); err != nil {
			return err
		}
		w.dispatch(func(app.Context) {
			w.lastBackUp = made
			w.countAlone()
		})
		return nil
	})
}

// staying says whether the browser may throw things away, and how full it is.
func (s *safeScreen) staying() app.UI {
	w := s.w
	words := say("The browser may throw away what is kept here when the device runs short of room.")
	if w.room.Persistent {
		words = say("The browser has promised not to throw anything away by itself. Clearing its data, or losing the device, still takes everything.")
	}
	return app.Section().Class("safe").Aria("label", say("Staying on this device")).Body(
		app.H2().Text(say("Staying on this device")),
		app.P().ID("persistence").DataSet("persistent", w.room.Persistent).Text(words),
		app.If(!w.room.Persistent, app.Button().Type("button").Class("wide").DataSet("do", "persist").Text(say("Ask the browser to keep it")).
			OnClick(func(app.Context, app.Event) { s.persist() })),
		app.If(s.asked && !w.room.Persistent, app.P().Class("quiet").Role("status").Text(say("The browser did not promise it. It does as a rule once Pegpour is installed or often used."))),
		app.If(w.roomed && w.room.Quota > 0, app.P().Class("quiet").Text(holes(say("{0} used of the {1} that the browser allows."), sizeWords(w.room.Used), sizeWords(w.room.Quota)))),
		app.If(w.nearlyFull(), app.P().Class("error").Role("alert").Text(say("There is hardly any room left: make a back-up, then free room on the device."))),
		app.P().Class("quiet").Text(say("In a private window nothing stays: all is gone when it is closed. Open Pegpour in an ordinary one.")),
	)
}

func (w *workspace) nearlyFull() bool {
	return w.room.Quota > 0 && float64(w.room.Used) > fullAt*float64(w.room.Quota)
}

func (s *safeScreen) persist() {
	store := s.w.store
	go func() {
		_, _ = store.Persist(context.Background())
		s.w.dispatch(func(app.Context) { s.asked = true })
		s.w.lookAtRoom()
	}()
}

// install says how to have Pegpour on the home screen, and why.
func (s *safeScreen) install() app.UI {
	words := say("In the browser's menu: Install app, or Add to Home screen. An installed app is kept more surely than a page.")
	switch {
	case s.installed:
		words = say("Pegpour is installed on this device.")
	case s.installable:
		words = say("Installed, Pegpour stands on the home screen, opens without the browser's bars, and is kept more surely than a page.")
	case onApple():
		words = say("On this device a page that was not opened for seven days of browsing loses everything it kept. On the home screen it does not: tap Share (the square with an arrow), then Add to Home Screen, then Add, and open Pegpour from there. What is here does not move over by itself: make a back-up first and restore it there.")
	}
	return app.Section().Class("safe").Aria("label", say("On the home screen")).Body(
		app.H2().Text(say("On the home screen")),
		app.P().ID("install-words").Text(words),
		app.If(s.installable, app.Button().Type("button").Class("wide").DataSet("do", "install").Text(say("Install")).
			OnClick(func(ctx app.Context, _ app.Event) { ctx.ShowAppInstallPrompt() })),
	)
}

// onApple reports an iPhone or iPad, whose browsers are all of one kind. An
// iPad calls itself a Mac, but has a touch screen.
func onApple() bool {
	if !app.IsClient {
		return false
	}
	navigator := app.Window().Get("navigator")
	agent := navigator.Get("userAgent").String()
	return strings.Contains(agent, "iPhone") || strings.Contains(agent, "iPad") || strings.Contains(agent, "Macintosh") && navigator.Get("maxTouchPoints").Int() > 1
}

// damaged lists records that cannot be opened, each to be saved as it is.
func (s *safeScreen) damaged() app.UI {
	w := s.w
	var bad []siteLine
	for _, lines := range [][]siteLine{w.sites, w.away} {
		for i := range lines {
			if lines[i].Condition != storage.Sound {
				bad = append(bad, lines[i])
			}
		}
	}
	if len(bad) == 0 {
		return app.Text("")
	}
	return app.Section().Class("safe").ID("damaged").Aria("label", say("Cannot be opened")).Body(
		app.H2().Text(say("Cannot be opened")),
		app.P().Text(say("These are kept as they are and harm nothing else. Saved as a file, what is in them can be looked at and perhaps rescued.")),
		app.Range(bad).Slice(func(i int) app.UI {
			site := bad[i]
			name := site.Name
			if name == "" {
				name = site.ID
			}
			return app.Div().Class("row found").Body(
				app.Div().Class("found-words").Body(app.Strong().Text(name), app.Span().Class("quiet").Text(conditionWords(site.Condition))),
				app.Button().Type("button").Class("row-side").DataSet("rescue", site.ID).Aria("label", holes(say("Save {0} as it is"), name)).Text(say("Save as it is")).
					OnClick(func(app.Context, app.Event) { s.rescue(site.ID) }, site.ID))
		}))
}

// rescue saves the bytes of a damaged site.
func (s *safeScreen) rescue(id string) {
	w := s.w
	w.background(func(c context.Context) error {
		raw, err := w.store.Raw(c, id)
		w.dispatch(func(app.Context) {
			if err != nil {
				s.problem = readingWords(err)
				return
			}
			out := &blobWriter{}
			_, _ = out.Write(raw)
			handOverBlob(fileBase(id)+"-as-it-is.json", out.blob())
		})
		return nil
	})
}

// readingWords say what went wrong with a file or with the store.
func readingWords(err error) string {
	var no *storage.BackUpError
	switch {
	case errors.As(err, &no):
		return current.refusalWords(no.Reason)
	case errors.Is(err, storage.ErrFull):
		return say("this device has no room left.")
	}
	return current.errorWords(err)
}
