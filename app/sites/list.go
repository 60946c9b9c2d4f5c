package sites

import (
	"context"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/shell"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/storage"
)

const (
	Step        = 30 // sites shown, and with each 'show more'
	begin       = 8  // sites in the first frame of the program, which fill any window
	SearchAbove = 10 // sites from which on the list can be searched
)

// Line is one site of the list with its small plan.
type Line struct {
	storage.Summary
	Plan string
	// Far is how far the site is: see FarOf.
	Far string

	sought string // what a search looks in, in small letters
}

func newLine(s storage.Summary, drawn kept) Line {
	return Line{Summary: s, Plan: drawn.plan, Far: drawn.far, sought: strings.ToLower(s.Name + "\n" + s.Address + "\n" + s.Client)}
}

// Draw draws the small plan of a site.
type Draw func(s survey.Survey, p practice.Practice, prefix string) string

// List is the sites of this device: those in use, which a search narrows down, and
// those put away. It is touched on the goroutine of the screens only.
type List struct {
	*editing.Device

	Sites, Away []Line // those in use and those put away
	Listed      bool
	Query       string
	// PutAwayLast is the site that was put away last, until it is brought back.
	PutAwayLast string
	// Unopened is why a file could not be opened; InQuestion a file that waits for
	// what a person says, nil when none does.
	Unopened   Unopened
	InQuestion *FileInQuestion
	// Counted hears of each new list; it may be nil.
	Counted func()

	site    *editing.Site
	draw    Draw
	first   []storage.Summary // what opening the store has just read; see Read
	most    int               // how many are shown
	short   bool              // the first frame with sites is on its way
	plans   map[string]kept   // drawn before: see PlanKey
	drawing bool
	made    string // the site that was made last
}

// kept is a small plan with how far its site is.
type kept struct{ plan, far string }

// New returns the list of a device. What is chosen from it becomes the site in
// hand.
func New(d *editing.Device, site *editing.Site, draw Draw) *List {
	return &List{Device: d, site: site, draw: draw, plans: map[string]kept{}}
}

// matches gives the places in sites of those that the query finds: each of its
// words stands somewhere in name, address or client.
func (l *List) matches() []int {
	words := strings.Fields(strings.ToLower(l.Query))
	var found []int
next:
	for i := range l.Sites {
		for _, word := range words {
			if !strings.Contains(l.Sites[i].sought, word) {
				continue next
			}
		}
		found = append(found, i)
	}
	return found
}

// Shown gives the places of the sites on the screen, and how many more match.
func (l *List) Shown() (places []int, more int) {
	found := l.matches()
	most := max(l.most, Step)
	if l.short && len(found) > begin {
		return found[:begin], 0
	}
	if len(found) <= most {
		return found, 0
	}
	return found[:most], len(found) - most
}

// Read reads the list anew.
func (l *List) Read() { l.read(nil) }

func (l *List) read(left *leaving) {
	all := l.first
	if l.first = nil; l.Listed {
		all = nil // the store was opened twice, and the list is older than what was made since
	}
	l.takeKeptPlans()
	l.Background(func(c context.Context) error {
		var err error
		if all == nil {
			all, err = l.Store.Sites(c)
		}
		if err != nil {
			l.Dispatch(func(app.Context) { l.Failure = l.StoreErrorWords(err) })
			return nil
		}
		lines, demos, away := make([]Line, 0, len(all)), []Line(nil), []Line(nil)
		held := 0
		for _, s := range all {
			if !s.Demo || s.Changed != s.Created {
				held++
			}
			switch {
			case s.Trashed:
				away = append(away, newLine(s, kept{}))
			case s.Demo:
				demos = append(demos, newLine(s, l.plans[l.PlanKey(s.Revision)]))
			case !l.goesByItself(c, &s, left):
				lines = append(lines, newLine(s, l.plans[l.PlanKey(s.Revision)]))
			}
		}
		lines = append(lines, demos...)
		l.Dispatch(func(app.Context) {
			l.short = !l.Listed
			l.Sites, l.Away, l.Listed, l.Failure = lines, away, true, ""
			if l.Journal != nil && l.Lost == 0 {
				l.Journal.Hold(held)
			}
			l.counted()
			l.Later(func() {
				l.short = false
				l.DrawPlans()
			})
		})
		return nil
	})
}

// Open shows the list of sites, and calls then once it stands on the page.
func (l *List) Open(ctx app.Context, then func()) {
	l.Enter(ctx)
	l.WithStore(func(app.Context) {
		l.read(&leaving{l.made, l.WaitsOf(), l.site.Doc})
		l.Later(then)
	})
}

// NewSite makes a site and goes to its first question.
func (l *List) NewSite(ctx app.Context) {
	from := ctx.Page().URL().Path
	l.WithStore(func(app.Context) {
		d := storage.NewDocument(editing.Now())
		d.Survey.Site.MeasuredOn = time.Now().Format(time.DateOnly)
		d.Survey.Site.MeasuredBy = l.Shop.Settings.Crew
		d.ShopRules = l.Shop.ForSite()
		l.BackgroundOf(d.ID, func(c context.Context) error {
			loaded, err := l.Store.Create(c, d)
			if err == nil {
				l.Dispatch(func(ctx app.Context) {
					if l.made = d.ID; ctx.Page().URL().Path != from {
						return // it took long, and somebody has gone elsewhere since
					}
					l.site.Hold(loaded)
					l.site.Asked = ""
					ctx.Navigate("/site/" + d.ID + "/measure")
				})
			}
			return err
		})
	})
}

// PutAway puts a site into the bin.
func (l *List) PutAway(id string) {
	l.BackgroundOf(id, func(c context.Context) error {
		if err := l.Store.Trash(c, id); err != nil {
			return err
		}
		l.Dispatch(func(app.Context) {
			l.PutAwayLast = id
			shell.ForgetList()
			l.Read()
		})
		return nil
	})
}

// BringBack takes a site out of the bin.
func (l *List) BringBack(id string) {
	l.BackgroundOf(id, func(c context.Context) error {
		if err := l.Store.Restore(c, id); err != nil {
			return err
		}
		l.Dispatch(func(app.Context) { l.PutAwayLast = ""; l.Read() })
		return nil
	})
}

// DeleteForever deletes a site that was put away for good; how as with Device.Depart.
func (l *List) DeleteForever(id string, how func(context.Context, string) (string, error)) {
	l.Depart(id, how, func() {
		shell.ForgetList()
		if l.PutAwayLast == id {
			l.PutAwayLast = ""
		}
		if l.site.Doc != nil && l.site.Doc.ID == id {
			l.site.Doc, l.site.Asked = nil, ""
		}
		l.Read()
	})
}

// DrawPlans draws the small plans of the sites shown one by one, so that the
// list is there at once and stays alive meanwhile.
func (l *List) DrawPlans() {
	if l.drawing {
		return
	}
	places, _ := l.Shown()
	at := -1
	for _, i := range places {
		if l.Sites[i].Plan == "" && l.Sites[i].Condition == storage.Sound {
			at = i
			break
		}
	}
	if at < 0 {
		l.Later(l.keep)
		return
	}
	line := l.Sites[at]
	l.drawing = true
	l.Background(func(c context.Context) error {
		loaded, err := l.Store.Load(c, line.ID)
		l.Dispatch(func(app.Context) {
			l.drawing = false
			drawn := kept{plan: "<svg></svg>"}
			if err == nil {
				shopRules, _ := l.Shop.Practice(loaded.Document)
				drawn = kept{l.draw(loaded.Document.Survey, shopRules, "t"+line.ID[:8]), FarOf(loaded.Document)}
				l.plans[l.PlanKey(loaded.Revision)] = drawn
			}
			for i := range l.Sites {
				if l.Sites[i].ID == line.ID {
					l.Sites[i].Plan, l.Sites[i].Far = drawn.plan, drawn.far
				}
			}
			l.DrawPlans()
		})
		return nil
	})
}

// PlanKey names what a small plan was drawn from: a revision of the site under
// one of the shop's rules.
func (l *List) PlanKey(site storage.Revision) string {
	return string(site) + "/" + string(l.ShopRevision)
}

// takeKeptPlans takes the small plans of the list that loader.js kept.
func (l *List) takeKeptPlans() {
	if !app.IsClient {
		return
	}
	all := app.Window().Get("document").Call("querySelectorAll", ".kept-list [data-drawn]")
	for i := range all.Length() {
		of := all.Index(i).Get("dataset")
		l.plans[of.Get("drawn").String()] = kept{all.Index(i).Get("innerHTML").String(), of.Get("far").String()}
	}
}

// keep has the page remember the list as it stands there.
func (l *List) keep() {
	if l.Query == "" {
		shell.KeepList()
	}
}

func (l *List) counted() {
	if l.Counted != nil {
		l.Counted()
	}
}

// Search narrows the list down to what is sought.
func (l *List) Search(query string) {
	l.Query, l.most = query, 0
	l.DrawPlans()
}

// ShowMore shows more of the list.
func (l *List) ShowMore() {
	l.most = max(l.most, Step) + Step
	l.DrawPlans()
}

// HasOwn reports whether there is any site but those for show.
func (l *List) HasOwn() bool {
	for i := range l.Sites {
		if !l.Sites[i].Demo {
			return true
		}
	}
	return false
}
