package keeping

import (
	"context"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/shell"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/app/yardlink"
	"pegpour/storage"
)

// safeScreen says how safe the things on this device are and what makes them
// safer: staying, installing, a back-up file and the way back from one.
type safeScreen struct {
	app.Compo
	w *Safety

	installed, installable bool

	making  bool
	made    *documents.Paper
	bytes   int64
	begun   backUp // what the file holds at least
	problem string
	again   bool
	going   bool   // photos are being let go
	went    string // what came of it
	asked   bool   // whether the browser keeps things has been asked again

	restoring Restoring
}

// NewSafeScreen returns the screen.
func NewSafeScreen(w *Safety) app.Composer { return &safeScreen{w: w, restoring: Restoring{Safety: w}} }

// OnNav implements app.Navigator.
func (s *safeScreen) OnNav(ctx app.Context) {
	s.readInstallState(ctx)
	s.w.Show(ctx)
}

// OnAppInstallChange implements app.AppInstaller.
func (s *safeScreen) OnAppInstallChange(ctx app.Context) { s.readInstallState(ctx) }

func (s *safeScreen) readInstallState(ctx app.Context) {
	s.installable = ctx.IsAppInstallable()
	page := app.Window()
	s.installed = app.IsClient && (page.Call("matchMedia", "(display-mode: standalone)").Get("matches").Truthy() ||
		page.Get("navigator").Get("standalone").Truthy())
}

// OnDismount implements app.Dismounter.
func (s *safeScreen) OnDismount() {
	s.w.Link.Unwatch()
	s.w.Leave()
}

// Render implements app.Composer.
func (s *safeScreen) Render() app.UI {
	w := s.w
	if w.Failure != "" || !w.Listed {
		return ui.PlainFrame(w.Device, w.Say("Keep safe"), "/", ui.Opening(w.Device))
	}
	return ui.PlainFrame(w.Device, w.Say("Keep safe"), "/",
		s.summary(), s.backUp(), s.restore(), s.staying(), s.install(), s.lacking(), s.damaged())
}

// summary says in one sentence how safe things are.
func (s *safeScreen) summary() app.UI {
	w := s.w
	words := w.Say("Every site of this device is in a back-up or in the yard.")
	if !w.HasOwn() {
		words = w.Say("There is no site of your own on this device yet.")
	}
	if w.Alone > 0 {
		words = w.SayCount(w.Alone, "One site is on this device only: not in a back-up, nor in the yard.",
			"{0} sites are on this device only: not in a back-up, nor in the yard.")
	}
	return element.Box("div", "yard-state",
		element.Known("p", "standing", "yard-tally", "status", words),
		app.If(w.Link.NotInYard() > 0 && w.Link.Status.Paired,
			element.Link("wide", "/sync", yardlink.SitesAndPhotos(w.Speaker, w.Link.Status.Waiting, w.Link.Status.WaitingPhotos))))
}

// backUp makes one file of everything and hands it over.
func (s *safeScreen) backUp() app.UI {
	w := s.w
	return element.Region("section", "safe", w.Say("Back-up"),
		element.Text("h2", "", w.Say("Back-up")),
		element.Text("p", "",
			w.Say("One file with every site, its history and photos, and the shop rules. Put it where this device is not: into a mail to yourself, a computer, a stick.")),
		app.Elem("p").Class("quiet").ID("last-back-up").Text(w.lastBackUpSentence()),
		app.Button().Type("button").Class("wide").DataSet("do", "back-up").Disabled(s.making).
			Text(w.Say("Make a back-up file")).
			OnClick(func(app.Context, app.Event) { s.makeBackUp() }),
		app.If(s.making, element.Status("p", "quiet", "status", w.SayWith("Writing the file: {0}", w.ByteCount(s.bytes)))),
		app.If(s.made != nil, element.Acting("div", "safe-made", "status", "",
			element.Text("p", "", w.SayWith("The file is ready: {0}. It is safe once it is saved or shared.", w.ByteCount(s.bytes))),
			app.If(s.again, element.Text("p", "", w.Say("This phone wants one more tap before it shares."))),
			element.Box("div", "row",
				app.If(s.made != nil && documents.CanShare([]documents.Paper{s.file()}),
					element.Doing("wide", "share-back-up", w.Say("Share"), func(app.Context, app.Event) { s.handOver(true) })),
				element.Doing("wide", "save-back-up", w.Say("Save"), func(app.Context, app.Event) { s.handOver(false) })))),
		app.If(s.problem != "", element.Status("p", "error", "alert", s.problem)),
	)
}

func (s *safeScreen) file() documents.Paper {
	if s.made == nil {
		return documents.Paper{}
	}
	return *s.made
}

// makeBackUp writes the file, behind the edits that still wait to be kept. What cannot
// be kept is not in it, which is said.
func (s *safeScreen) makeBackUp() {
	w := s.w
	s.making, s.made, s.bytes, s.problem, s.again, s.begun = true, nil, 0, "", false,
		backUp{at: editing.Now(), holds: map[string]storage.Revision{}}
	w.Background(func(context.Context) error {
		go func() {
			out := &window.Writer{Grown: func(n int64) { w.Dispatch(func(app.Context) { s.bytes = n }) }}
			// What changes from now on may or may not be in it and counts as not.
			sites, err := w.Store.Sites(context.Background())
			if err == nil {
				err = w.Store.BackUp(context.Background(), out)
			}
			blob := out.Blob()
			w.Dispatch(func(app.Context) {
				s.making = false
				waits, lack := w.WaitsOf(), 0
				for i := range sites {
					if id := sites[i].ID; waits[id] {
						lack++
					} else {
						s.begun.holds[id] = sites[i].Revision
					}
				}
				if err != nil {
					s.problem = w.SayWith("The back-up could not be made: {0}", readingWords(w.Speaker, err))
					return
				}
				name := "pegpour-" + time.Now().Format("2006-01-02-1504") + ".pegpour-backup"
				file := documents.NewPaper(name, "application/x-ndjson", blob)
				s.made, s.bytes = &file, out.Written
				if lack > 0 {
					s.problem = w.SayCount(lack, "Something of one site could not be kept yet, and is not in the file.",
						"Something of {0} sites could not be kept yet, and is not in the file.")
				}
			})
		}()
		return nil
	})
}

// handOver shares or saves the file, and writes down that it was.
func (s *safeScreen) handOver(share bool) {
	w := s.w
	if share {
		documents.HandOut(w.Turns, w.Say("Back-up of Pegpour"), []documents.Paper{*s.made},
			func(app.Context) { s.again = true })
	} else {
		s.made.Save()
	}
	made := s.begun
	w.Background(func(c context.Context) error {
		if err := w.Store.KeepExchanged(c, nil, []storage.Record{{Key: keyBackUp, Value: made.record()}}); err != nil {
			return err
		}
		w.Dispatch(func(app.Context) {
			w.lastBackUp = made
			w.countAlone()
		})
		return nil
	})
}

// staying says whether the browser may throw things away, and how full it is.
func (s *safeScreen) staying() app.UI {
	w := s.w
	words := w.Say("The browser may throw away what is kept here when the device runs short of room.")
	if w.room.Persistent {
		words = w.Say("The browser has promised not to throw anything away by itself. Clearing its data, or losing the device, still takes everything.")
	}
	return element.Region("section", "safe", w.Say("Staying on this device"),
		element.Text("h2", "", w.Say("Staying on this device")),
		app.Elem("p").ID("persistence").DataSet("persistent", w.room.Persistent).Text(words),
		app.If(!w.room.Persistent,
			element.Doing("wide", "persist", w.Say("Ask the browser to keep it"), func(app.Context, app.Event) { s.persist() })),
		app.If(s.asked && !w.room.Persistent,
			element.Status("p", "quiet", "status",
				w.Say("The browser did not promise it. It does as a rule once Pegpour is installed or often used."))),
		app.If(w.roomKnown && w.room.Quota > 0,
			element.Text("p", "quiet", w.SayWith("{0} used of the {1} that the browser allows.", w.ByteCount(w.room.Used),
				w.ByteCount(w.room.Quota)))),
		app.If(w.nearlyFull(),
			element.Status("p", "error", "alert", w.Say("There is hardly any room left: make a back-up, then let photos go, or delete sites that are done."))),
		s.photos(),
		element.Text("p", "quiet",
			w.Say("In a private window nothing stays: all is gone when it is closed. Open Pegpour in an ordinary one.")),
	)
}

// photos says what room they take, and lets those go from here that the yard has too.
func (s *safeScreen) photos() app.UI {
	w := s.w
	if w.photoBytes == 0 && s.went == "" {
		return app.Text("")
	}
	words := w.SayWith("The photos here take {0}.", w.ByteCount(w.photoBytes))
	if w.spare > 0 {
		words = language.Sentences(words, w.SayCount(w.spare, "One of them, {1}, is in the yard too.",
			"{0} of them, {1}, are in the yard too.", w.ByteCount(w.spareBytes)))
	}
	return element.Box("div", "",
		element.Known("p", "photo-room", "", "status", words),
		app.If(w.spare > 0 && w.Link.Status.Paired, element.Box("div", "",
			app.Button().Type("button").Class("wide").DataSet("do", "let-photos-go").Disabled(s.going).
				Text(w.Say("Let those go from this phone")).OnClick(func(app.Context, app.Event) { s.letPhotosGo() }),
			element.Text("p", "quiet",
				w.Say("They come back when they are looked at and there is signal. Until then only the yard has them.")))),
		app.If(w.spare == 0, element.Text("p", "quiet",
			w.Say("Room comes from deleting for good what was put away, at the end of the list of sites."))),
		app.If(s.went != "", element.Status("p", "quiet", "status", s.went)))
}

func (s *safeScreen) letPhotosGo() {
	w := s.w
	s.going, s.went = true, ""
	go func() {
		err := w.Link.Client().LetPhotosGo(context.Background())
		w.Dispatch(func(app.Context) {
			s.going, s.went = false, w.Say("They are gone from here.")
			if err != nil {
				s.went = yardlink.ErrorWords(w.Speaker, err)
			}
			w.ReadRoom()
		})
	}()
}

func (s *safeScreen) persist() {
	store := s.w.Store
	go func() {
		_, _ = store.Persist(context.Background())
		s.w.Dispatch(func(app.Context) { s.asked = true })
		s.w.ReadRoom()
	}()
}

// install says how to have Pegpour on the home screen, and why.
func (s *safeScreen) install() app.UI {
	words := s.w.Say("In the browser's menu: Install app, or Add to Home screen. An installed app is kept more surely than a page.")
	switch {
	case s.installed:
		words = s.w.Say("Pegpour is installed on this device.")
	case s.installable:
		words = s.w.Say("Installed, Pegpour stands on the home screen, opens without the browser's bars, and is kept more surely than a page.")
	case onApple():
		words = s.w.Say("On this device a page that was not opened for seven days of browsing loses everything it kept. On the home screen it does not: tap Share (the square with an arrow), then Add to Home Screen, then Add, and open Pegpour from there. What is here does not move over by itself: make a back-up first and restore it there.")
	}
	return element.Region("section", "safe", s.w.Say("On the home screen"),
		element.Text("h2", "", s.w.Say("On the home screen")),
		element.Known("p", "install-words", "", "", words),
		app.If(s.installable,
			element.Doing("wide", "install", s.w.Say("Install"), func(ctx app.Context, _ app.Event) { ctx.ShowAppInstallPrompt() })),
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
	return strings.Contains(agent, "iPhone") || strings.Contains(agent, "iPad") || strings.Contains(agent, "Macintosh") &&
		navigator.Get("maxTouchPoints").Int() > 1
}

// lacking lists what this browser cannot do.
func (s *safeScreen) lacking() app.UI {
	words := shell.Lacks(s.w.Speaker)
	if len(words) == 0 {
		return app.Text("")
	}
	return app.Elem("section").Class("safe").ID("lacks").Aria("label", s.w.Say("What this browser cannot do")).Body(
		element.Text("h2", "", s.w.Say("What this browser cannot do")),
		element.Box("ul", "list", app.Range(words).Slice(func(i int) app.UI { return element.Text("li", "", words[i]) })),
	)
}
