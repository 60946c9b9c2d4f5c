package passing

import (
	"bytes"
	"io"
	"strconv"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/keeping"
	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/storage"
)

// takeScreen takes from another phone what that shows.
type takeScreen struct {
	app.Compo
	w *keeping.Safety

	camera  *camera // nil: shut
	none    noCamera
	came    gathering
	stopped bool // before all had come
	problem string
	took    time.Duration // from the first picture to all; 0: not all yet
	size    int           // of what came, in bytes

	restoring keeping.Restoring
}

func newTakeScreen(w *keeping.Safety) *takeScreen {
	return &takeScreen{w: w, restoring: keeping.Restoring{Safety: w, Received: true}}
}

// OnNav implements app.Navigator.
func (s *takeScreen) OnNav(ctx app.Context) { s.w.Show(ctx) }

// OnDismount implements app.Dismounter.
func (s *takeScreen) OnDismount() {
	s.shut()
	s.w.Link.Unwatch()
	s.w.Leave()
}

// Render implements app.Composer.
func (s *takeScreen) Render() app.UI {
	w := s.w
	if w.Failure != "" || !w.Listed {
		return ui.PlainFrame(w.Device, w.Say("Take from another phone"), "/", ui.Opening(w.Device))
	}
	return ui.PlainFrame(w.Device, w.Say("Take from another phone"), "/", s.purpose(), s.reading(), s.arrived())
}

func (s *takeScreen) purpose() app.UI {
	w := s.w
	return app.If(s.camera == nil && s.took == 0, element.Box("div", "taken",
		element.Text("p", "", w.Say("What another phone shows as a running row of pictures comes here through the camera, with its history. Nothing goes anywhere else, and no signal is needed.")),
		element.Box("ol", "steps-to-take",
			element.Text("li", "", w.Say("On the other phone: open the site, tap Job, then ‘Show to another phone’; or the shop's rules, ‘Show these rules to another phone’.")),
			element.Text("li", "", w.Say("On this one: open the camera, wipe its lens, and allow it where you are asked.")),
			element.Text("li", "", w.Say("Hold it some 20 cm before the other screen, with the white edge all in view. Order does not matter, nor what is missed."))),
		app.If(s.none != 0, element.Acting("div", "error", "alert", "",
			element.Text("p", "", s.noneWords()),
			element.Text("p", "", w.Say("There is another way: on the other phone save the survey as a file, and open that from the list of sites.")))),
		app.If(s.problem != "", element.Status("p", "error", "alert", s.problem)),
		app.If(s.stopped && s.came.current != nil, element.Known("p", "take-stopped", "", "status", s.stoppedWords())),
		element.Doing("primary", "open-camera", w.Say("Open the camera"), func(app.Context, app.Event) { s.open() })))
}

func (s *takeScreen) noneWords() string {
	switch s.none {
	case cameraRefused:
		return s.w.Say("The camera is not allowed here. The browser's settings of this page let it be allowed.")
	case cameraBusy:
		return s.w.Say("The camera is in use by something else. Close that and try again.")
	case readerNone:
		return s.w.Say("What reads the pictures could not be loaded. Open Pegpour once with signal, then it is kept.")
	}
	return s.w.Say("This device gives the page no camera.")
}

func (s *takeScreen) stoppedWords() string {
	g := s.came.current
	if g == nil {
		return ""
	}
	return language.Sentences(s.w.SayWith("Stopped when {0} of {1} pictures had come: nothing was taken in, and what is here is as it was.",
		strconv.Itoa(g.Known), strconv.Itoa(g.Blocks)),
		s.w.Say("Open the camera again while the other phone shows the same: what came counts as long as this screen stays open."))
}

// open asks for the camera and begins to read.
func (s *takeScreen) open() {
	w := s.w
	s.none, s.problem, s.stopped, s.took = 0, "", false, 0
	s.restoring.Report = nil
	c := &camera{}
	c.seen = func(codes [][]byte) {
		if s.camera == c && s.came.see(codes, time.Now()) {
			s.complete()
		}
	}
	c.failed = func(why noCamera) {
		w.Dispatch(func(app.Context) {
			if s.camera == c {
				s.shut()
				s.none = why
			}
		})
	}
	s.camera = c
	if !app.IsClient {
		return
	}
	w.Later(func() {
		if video := app.Window().GetElementByID("take-video"); s.camera == c && video.Truthy() {
			c.open(video)
			s.tellNow(c)
		}
	})
}

// tellNow shows how far it is, now and then.
func (s *takeScreen) tellNow(c *camera) {
	time.AfterFunc(400*time.Millisecond, func() {
		s.w.Dispatch(func(app.Context) {
			if s.camera == c {
				s.tellNow(c)
			}
		})
	})
}

func (s *takeScreen) shut() {
	if s.camera != nil {
		s.camera.stop()
		s.camera = nil
	}
}

// reading is what the camera sees, how far it is and what to do.
func (s *takeScreen) reading() app.UI {
	if s.camera == nil {
		return app.Text("")
	}
	w, known, blocks := s.w, 0, 0
	far := w.Say("Nothing has come yet.")
	if g := s.came.current; g != nil {
		known, blocks = g.Known, g.Blocks
		far = w.SayWith("{0} of {1} pictures have come.", strconv.Itoa(known), strconv.Itoa(blocks))
	}
	return element.Region("section", "taking", w.Say("The camera"),
		app.Video().ID("take-video").Attr("playsinline", "").Muted(true).Aria("label", w.Say("What the camera sees")),
		app.Progress().ID("take-far").Max(max(1, blocks)).Value(known).Aria("label", w.Say("How much has come")),
		app.Elem("p").ID("take-count").DataSet("known", strconv.Itoa(known)).DataSet("blocks", strconv.Itoa(blocks)).Text(far),
		element.Known("p", "take-says", "", "status", s.seeingWords(s.came.now(time.Now()))),
		element.Doing("wide", "stop-taking", w.Say("Stop"), func(app.Context, app.Event) {
			s.shut()
			s.stopped = true
		}))
}

func (s *takeScreen) seeingWords(sees seeing) string {
	w := s.w
	switch sees {
	case seesOthers:
		return w.Say("The camera sees a code, but it is none of Pegpour's row: have the other phone show it.")
	case seesNewer:
		return w.Say("The other phone has a newer Pegpour: open this one once with signal to update it.")
	case seesDamaged:
		return w.Say("The pictures come damaged: hold steadier, wipe the lens, turn the other screen brighter.")
	case seesOld:
		return w.Say("Nothing new comes: the other phone's row stands still. What has come stays.")
	case seesNew:
		return w.Say("It is coming. Hold still.")
	}
	return w.Say("Nothing is seen: go nearer or further, some 20 cm, until the picture with its white edge fills the view. What has come stays.")
}

// complete takes what came once its digest holds.
func (s *takeScreen) complete() {
	g, began := s.came.current, s.came.begun
	file, err := g.Whole()
	took, size := time.Since(began), len(file)
	s.camera.stop()
	go func() {
		if err == nil {
			file, err = unpacked(file)
		}
		s.w.Dispatch(func(app.Context) {
			s.shut()
			s.came = gathering{}
			if err != nil {
				s.problem = s.w.SayWith("What came cannot be taken in: {0}", s.w.ErrorWords(err))
				return
			}
			s.took, s.size = max(took, time.Millisecond), size
			s.restoring.Name = s.w.Say("From the other phone")
			s.restoring.Open = func() io.Reader { return bytes.NewReader(file) }
			s.restoring.Look()
		})
	}()
}

// arrived says what came, and takes it in.
func (s *takeScreen) arrived() app.UI {
	if s.took == 0 {
		return app.Text("")
	}
	w := s.w
	return element.Box("div", "taken",
		app.Elem("p").ID("take-whole").Role("status").DataSet("ms", strconv.FormatInt(s.took.Milliseconds(), 10)).
			DataSet("bytes", strconv.Itoa(s.size)).
			Text(w.SayWith("All has come whole: {0} in {1} seconds.", w.ByteCount(int64(s.size)), w.Decimal(s.took.Seconds(), 1))),
		s.restoring.Listed(),
		app.If(s.restoring.Settled(), s.way()),
		element.Doing("wide", "take-another", w.Say("Take another"), func(app.Context, app.Event) { s.open() }))
}

// way leads to the site that was taken in.
func (s *takeScreen) way() app.UI {
	if s.restoring.Report == nil {
		return app.Text("")
	}
	for _, item := range s.restoring.Report.Items {
		id := item.ID
		if item.CopyID != "" {
			id = item.CopyID
		}
		switch {
		case item.ID == storage.ShopID:
			return element.Link("primary", "/rules", s.w.Say("To the shop's rules"))
		case item.Outcome != storage.RestoreDamaged && item.Outcome != storage.RestoreTooNew:
			return element.Link("primary", "/site/"+id+"/more", s.w.Say("Open the site"))
		}
	}
	return app.Text("")
}
