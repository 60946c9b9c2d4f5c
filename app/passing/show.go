package passing

import (
	"context"
	"errors"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"rsc.io/qr/coding"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/storage/row"
)

// manner is how a row is shown.
type manner struct {
	name, words string
	version     coding.Version
	every       int // milliseconds a picture
}

var manners = []manner{
	{"quick", "Quick: twelve pictures a second", 30, 80},
	{"large", "Larger squares: for an older camera", 18, 100},
	{"slow", "Slow: under three, flickers least", 30, 350},
}

const slowManner = 2

// showScreen shows a site, or the shop's rules, as a row of pictures.
type showScreen struct {
	app.Compo
	w    *editing.Site
	shop bool

	photos     bool // they go along
	photoBytes int64
	photosHere int
	manner     int

	making  bool
	problem string
	shown   *showing // nil: none
	// next is the picture that goes on with a row that was stopped.
	next uint32
	last row.Content
}

func newShowScreen(w *editing.Site, shop bool) *showScreen { return &showScreen{w: w, shop: shop} }

// OnNav implements app.Navigator.
func (s *showScreen) OnNav(ctx app.Context) {
	if app.IsClient && app.Window().Call("matchMedia", "(prefers-reduced-motion: reduce)").Get("matches").Truthy() {
		s.manner = slowManner
	}
	if s.shop {
		s.w.Enter(ctx)
		s.w.WithStore(func(ctx app.Context) { s.w.Refresh(ctx) })
		return
	}
	s.w.Follow(ctx, func(app.Context) { s.countPhotos() })
}

// OnDismount implements app.Dismounter.
func (s *showScreen) OnDismount() {
	s.stop()
	s.w.Leave()
}

// countPhotos finds the photos of the site that are here.
func (s *showScreen) countPhotos() {
	w, doc := s.w, s.w.Doc
	w.Background(func(c context.Context) error {
		sizes, err := w.Store.PhotoSizes(c)
		w.Dispatch(func(app.Context) {
			s.photosHere, s.photoBytes = 0, 0
			seen := map[string]bool{}
			for _, p := range doc.Photos {
				if size, here := sizes[p.ID]; here && !seen[p.ID] {
					seen[p.ID] = true
					s.photosHere++
					s.photoBytes += size
				}
			}
		})
		return err
	})
}

// Render implements app.Composer.
func (s *showScreen) Render() app.UI {
	w := s.w
	if s.shop {
		if w.Shop == nil {
			return ui.PlainFrame(w.Device, w.Say("Show the shop's rules"), "/rules", ui.Opening(w.Device))
		}
		return ui.PlainFrame(w.Device, w.Say("Show the shop's rules"), "/rules", s.content()...)
	}
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	return ui.SiteFrame(w, "more tool", s.content()...)
}

func (s *showScreen) content() []app.UI {
	w := s.w
	what := w.Say("This site goes to another phone as a running row of pictures, with its history. Nothing else leaves this phone, and no signal is needed.")
	if s.shop {
		what = w.Say("The shop's rules, rates and terms go to another phone as a running row of pictures. Nothing else leaves this phone, and no signal is needed.")
	}
	return []app.UI{
		element.Text("h2", "", w.Say("Show to another phone")),
		element.Text("p", "", what),
		element.Box("ol", "steps-to-take",
			element.Text("li", "", w.Say("On the other phone: in the list of sites, tap ‘Take from another phone’, and open the camera.")),
			element.Text("li", "", w.Say("On this one: turn the screen to full brightness, out of the sun, and start the row.")),
			element.Text("li", "", w.Say("Hold the other phone's camera some 20 cm before it, with the white edge all in view, until it says that all has come."))),
		element.Text("p", "caution", w.Say("Mind: the row flickers, quick ones twelve times a second. Do not stare at it, and keep it from anyone whom flickering light can harm, or choose the slow one.")),
		app.If(s.photosHere > 0, element.Box("label", "check",
			app.Input().Type("checkbox").ID("with-photos").Checked(s.photos).OnChange(func(_ app.Context, e app.Event) {
				s.photos = e.Get("target").Get("checked").Bool()
			}),
			element.Text("span", "", w.SayCount(s.photosHere, "With its photo, {1}", "With its {0} photos, {1}", w.ByteCount(s.photoBytes))))),
		element.Box("label", "setting whole", app.Text(w.Say("How it is shown")),
			app.Select().ID("row-manner").OnChange(func(_ app.Context, e app.Event) {
				s.manner, _ = strconv.Atoi(e.Get("target").Get("value").String())
			}).Body(app.Range(manners).Slice(func(i int) app.UI {
				return app.Option().Value(strconv.Itoa(i)).Selected(i == s.manner).Text(w.Say(manners[i].words))
			}))),
		app.If(s.problem != "", element.Status("p", "error", "alert", s.problem)),
		app.Button().Type("button").Class("primary").DataSet("do", "start-row").Disabled(s.making).
			Text(w.Say("Start the row")).OnClick(func(app.Context, app.Event) { s.start() }),
		s.picture(),
	}
}

// start makes what is shown, behind the edits that still wait to be kept.
func (s *showScreen) start() {
	w := s.w
	s.making, s.problem = true, ""
	id, shop, photos, how := "", s.shop, s.photos && s.photosHere > 0, manners[s.manner]
	if !shop {
		id = w.Doc.ID
	}
	w.BackgroundOf(id, func(context.Context) error {
		go func() {
			var content []byte
			var err error
			if shop {
				content, err = packedRules(context.Background(), w.Store)
			} else {
				content, err = packedSite(context.Background(), w.Store, id, photos)
			}
			var sq *Squares
			if err == nil {
				sq, err = NewSquares(how.version)
			}
			var r *row.Row
			if err == nil {
				r, err = row.New(content, sq.Room())
			}
			w.Dispatch(func(app.Context) {
				if s.making = false; err != nil {
					s.problem = s.failedWords(err)
					return
				}
				if r.Content != s.last {
					s.last, s.next = r.Content, 0
				}
				s.shown = &showing{row: r, squares: sq, every: how.every, next: s.next}
				w.Later(s.shown.run)
			})
		}()
		return nil
	})
}

func (s *showScreen) failedWords(err error) string {
	if errors.Is(err, row.ErrTooLarge) {
		return s.w.Say("This is more than a row of pictures can carry. Show it without the photos, or save it as a file.")
	}
	return s.w.StoreErrorWords(err)
}

func (s *showScreen) stop() {
	if s.shown != nil {
		s.next = s.shown.next
		s.shown.stop()
		s.shown = nil
	}
}

// picture is the row over the whole screen, black on white in every theme.
func (s *showScreen) picture() app.UI {
	if s.shown == nil {
		return app.Text("")
	}
	w, side := s.w, s.shown.squares.Side
	round := (s.shown.row.Blocks*s.shown.every + 999) / 1000
	return element.Acting("div", "row-shown", "dialog", w.Say("The running row"),
		app.Canvas().ID("row-picture").Width(side).Height(side).Attr("role", "img").
			Aria("label", w.Say("Pictures for the other phone's camera")),
		element.Status("p", "", "status", w.SayCount(round, "All of it passes once in one second, and goes on until you stop it.",
			"All of it passes once in {0} seconds, and goes on until you stop it.")),
		app.Button().Type("button").Class("primary").ID("stop-row").DataSet("do", "stop-row").Text(w.Say("Stop")).
			OnClick(func(app.Context, app.Event) { s.stop() }))
}
