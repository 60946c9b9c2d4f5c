package app

import (
	"context"
	"errors"
	"strconv"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine"
	"pegpour/engine/input"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
	"pegpour/storage/demo"
	"pegpour/storage/replication"
)

// OpenStore opens the device's store. The program's main sets it before the
// screens start; tests set a store in memory.
var OpenStore func(context.Context) (storage.Store, error)

// current is the one workspace of this page.
var current = newWorkspace()

// workspace is what the screens share: the store, the shop and the site in
// hand. It is touched on the UI goroutine only; the store is called on another
// one, in order.
type workspace struct {
	store   storage.Store
	client  *replication.Client // see yard
	sending                     // what is not in the yard yet, and how it gets there
	keepingSafe
	shop    *storage.Shop
	failure string // the store cannot be used at all

	siteList
	shopRevision storage.Revision
	thumbs       map[string]string // small plans drawn before: see thumbKey
	drawingThumb bool
	lastPutAway  string
	unopened     string // why a file could not be opened

	doc              *storage.Document
	revision         storage.Revision
	canUndo, canRedo bool

	survey   survey.Survey     // as the engine was asked: see effective
	drafts   map[string]string // what was typed and not understood, by field
	walk     []string          // the steps of the walk for it
	practice practice.Practice
	sketch   *engine.Sketch // see plan and outlines; nil before the first design
	refused  input.Refusals
	seal     string
	designs  int
	designed func()     // hears of each change of the site in hand; may be nil
	live     *sheetView // drawn anew with each design, before anything else is; may be nil

	judged string // the seal for which matter holds
	matter []survey.Assumption
	asking

	asked  string // the field, or step, being asked
	typing string // the field that was typed into last, while it is asked
	how    survey.Method

	quiet      *time.Timer // see refreshInQuiet
	quietComes bool

	awaiting []func() // see afterTurn
	onTurn   app.Func

	queue    []func(context.Context) error
	rootData app.Value // the data- attributes of the page's root, once used
	working  bool
	unsaved  string

	screen  app.Context
	mounted bool
	watched bool
}

func newWorkspace() *workspace {
	return &workspace{how: survey.ByTape, thumbs: map[string]string{}}
}

// follow is called by each screen of a site when it is shown: it opens the site
// of the address and keeps the screen fresh.
func (w *workspace) follow(ctx app.Context, then func(app.Context)) {
	w.screen, w.mounted = ctx, true
	id := siteOf(ctx.Page().URL().Path)
	w.open(func(ctx app.Context) {
		if w.doc != nil && w.doc.ID == id {
			if then != nil {
				then(ctx)
			}
			w.refresh(ctx)
			return
		}
		w.doc, w.asked = nil, ""
		w.background(func(c context.Context) error {
			loaded, err := w.store.Load(c, id)
			w.dispatch(func(ctx app.Context) {
				if err != nil {
					w.failure = sayWith("This site cannot be opened: {0}", w.errorWords(err))
					return
				}
				w.failure = ""
				w.take(loaded)
				if then != nil {
					then(ctx)
				}
			})
			return nil
		})
	})
}

func (w *workspace) unfollow() { w.mounted = false }

// siteOf is the identity in /site/<identity>/<screen>.
func siteOf(path string) string {
	parts := strings.Split(strings.Trim(path, "/"), "/")
	if len(parts) >= 2 && parts[0] == "site" {
		return parts[1]
	}
	return ""
}

// open opens the store once and then calls next on the UI goroutine.
func (w *workspace) open(next func(app.Context)) {
	if w.store != nil {
		next(w.screen)
		return
	}
	w.background(func(c context.Context) error {
		store, err := OpenStore(c)
		var shop storage.LoadedShop
		var sites []storage.Summary
		if err == nil {
			shop, err = store.Shop(c)
		}
		if err == nil {
			sites, err = firstSites(c, store)
		}
		w.dispatch(func(ctx app.Context) {
			if err != nil {
				w.failure = storeWords(err)
				return
			}
			w.store, w.shop, w.shopRevision, w.opened = store, shop.Shop, shop.Revision, sites
			w.dress()
			if !w.watched {
				w.watched = true
				w.store.Watch(w.changedElsewhere)
				BeforeUpdate = w.settle
				w.later(w.startSending)
			}
			next(ctx)
		})
		return nil
	})
}

// firstSites puts the demo sites on a device that has no others. It returns
// what is on the device when it put none.
func firstSites(c context.Context, store storage.Store) ([]storage.Summary, error) {
	sites, err := store.Sites(c)
	if err != nil {
		return nil, err
	}
	have := map[string]bool{}
	for _, s := range sites {
		if !s.Demo || s.Trashed {
			return sites, nil // somebody works here
		}
		have[s.ID] = true
	}
	made := time.Now().UTC()
	for i, site := range demo.Sites() {
		if have[site.ID] {
			continue // the first start was cut off half-way
		}
		// The first one stands first in the list, which goes by time.
		d := storage.NewDocument(made.Add(-time.Duration(i) * time.Minute).Format(time.RFC3339))
		d.ID, d.Demo, d.Survey = site.ID, true, site.Survey
		at := &d.Survey.Site // in the language of the first start; from then on it is the site's own
		at.Name, at.Address, at.Notes, at.MeasuredBy = say(at.Name), say(at.Address), say(at.Notes), say(at.MeasuredBy)
		if _, err := store.Create(c, d); err != nil && !errors.Is(err, storage.ErrExists) {
			return nil, err
		}
		sites = nil
	}
	// Not waited for: Firefox asks the person, who may let the question stand.
	go store.Persist(context.WithoutCancel(c))
	return sites, nil
}

func now() string { return time.Now().UTC().Format(time.RFC3339) }

// storeWords says what a failing store means to the person.
func storeWords(err error) string {
	var unavailable *storage.UnavailableError
	switch {
	case errors.As(err, &unavailable):
		return sayWith("Nothing can be kept on this device: {0}.", current.refusalWords(unavailable.Refusal()))
	case errors.Is(err, storage.ErrFull):
		return say("This device has no room left: the last change is not kept yet. Free some room and try again.")
	}
	return sayWith("The last change is not kept yet: {0}", current.errorWords(err))
}

// take puts a site as the store has it into hand.
func (w *workspace) take(l storage.Loaded) {
	if w.doc == nil || w.doc.ID != l.Document.ID {
		w.asking.leftOut = nil // another site's
	}
	w.doc, w.revision, w.canUndo, w.canRedo = l.Document, l.Revision, l.CanUndo, l.CanRedo
	w.design()
}

// plan is the plan of the site in hand, whole: the first call after an edit
// waits for what the edit's drawing did not.
func (w *workspace) plan() *plan.Plan {
	if w.sketch == nil {
		return &plan.Plan{}
	}
	return w.sketch.Finish()
}

// outlines is the plan as far as drawings go: see engine.Sketch.
func (w *workspace) outlines() *plan.Plan {
	if w.sketch == nil {
		return &plan.Plan{}
	}
	return w.sketch.Plan()
}

// design asks the engine again.
func (w *workspace) design() {
	w.practice, _ = w.shop.Practice(w.doc)
	w.survey, w.walk = w.read(), nil
	sketch, err := engine.Begin(w.survey, w.practice)
	w.sketch, w.refused = sketch, nil
	var refused input.Refusals
	if errors.As(err, &refused) {
		w.refused = refused
	}
	w.designs++
	w.seal = strconv.Itoa(w.designs)
	w.live.follow(w)
	w.judge()
	if w.designed != nil {
		w.designed()
	}
}

// effective is the survey as the engine was asked. Nobody changes it.
func (w *workspace) effective() survey.Survey { return w.survey }

// read makes the survey to ask the engine with: a field whose entry cannot be
// read counts as not measured, for its old value no longer holds.
func (w *workspace) read() survey.Survey {
	measured := w.doc.Survey.Clone()
	w.drafts = w.doc.DraftsByField()
	for path := range w.drafts {
		f, _ := survey.FieldAt(path)
		if f.Numeric() {
			_ = f.SetValue(&measured, survey.Value{})
		} else if f.Dimension == text.Choice {
			_ = f.SetWords(&measured, "")
		}
	}
	return measured
}

// commit makes an edit at once on the screen and then in the store.
func (w *workspace) commit(ctx app.Context, e storage.Edit, err error) {
	var refusal *input.FieldError
	if err != nil && !errors.As(err, &refusal) {
		w.unsaved = storeWords(err)
		w.refresh(ctx)
		return
	}
	next := w.doc
	if !e.Empty() {
		if next, err = storage.Apply(w.doc, e); err != nil {
			w.unsaved = storeWords(err)
			w.refresh(ctx)
			return
		}
	}
	w.put(next, func() (storage.Edit, error) { return e, nil })
	w.refresh(ctx)
}

// put takes the site as an edit leaves it, and then makes the edit and stores it.
func (w *workspace) put(next *storage.Document, edit func() (storage.Edit, error)) {
	if next == w.doc {
		w.design()
		return
	}
	w.doc, w.canUndo, w.canRedo = next, true, false
	w.design() // first of all: it draws
	w.background(func(c context.Context) error {
		// The edits before this one are stored by now, so this is what it
		// was made on, unless another tab came between.
		e, err := edit()
		var refusal *input.FieldError // the edit then keeps what was typed
		if err != nil && !errors.As(err, &refusal) || e.Empty() {
			return err
		}
		loaded, err := w.store.Commit(c, next.ID, e, w.revision)
		if err == nil {
			w.dispatch(func(app.Context) { w.stored(loaded) })
		}
		return err
	})
}

// stored takes note of what the store has; while more edits wait the screen is
// ahead of it.
func (w *workspace) stored(l storage.Loaded) {
	if w.doc == nil || w.doc.ID != l.Document.ID {
		return
	}
	w.revision = l.Revision
	if len(w.queue) <= 1 {
		w.canUndo, w.canRedo = l.CanUndo, l.CanRedo
		if l.Moved {
			w.doc = l.Document
			w.design()
		}
	}
}

func (w *workspace) undo(ctx app.Context) { w.turn(storage.Store.Undo) }
func (w *workspace) redo(ctx app.Context) { w.turn(storage.Store.Redo) }

func (w *workspace) turn(move func(storage.Store, context.Context, string) (storage.Loaded, error)) {
	id := w.doc.ID
	w.background(func(c context.Context) error {
		loaded, err := move(w.store, c, id)
		if errors.Is(err, storage.ErrNothing) {
			return nil
		}
		if err == nil {
			w.dispatch(func(app.Context) {
				if w.doc != nil && w.doc.ID == id {
					w.take(loaded)
				}
			})
		}
		return err
	})
}

// changedElsewhere hears of a change in another tab.
func (w *workspace) changedElsewhere(id string) {
	w.dispatch(func(app.Context) {
		if w.doc == nil || w.doc.ID != id || len(w.queue) > 0 {
			return
		}
		w.background(func(c context.Context) error {
			loaded, err := w.store.Load(c, id)
			if err == nil {
				w.dispatch(func(app.Context) {
					if w.doc != nil && w.doc.ID == id && len(w.queue) <= 1 && loaded.Revision != w.revision {
						w.take(loaded)
					}
				})
			}
			return nil
		})
	})
}

// stops counts the checks that say stop.
func (w *workspace) stops() int {
	n := 0
	for i := range w.plan().Checks {
		if w.plan().Checks[i].Severity == plan.Stop {
			n++
		}
	}
	return n
}
