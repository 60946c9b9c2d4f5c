package editing

import (
	"context"
	"errors"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/language"
	"pegpour/app/turns/turnstest"
	"pegpour/storage"
)

// A site whose call fails keeps back its own calls only.
func TestAFailingSiteHoldsUpNoOther(t *testing.T) {
	stage, saver := newSaver(t)
	full := true
	var made []string
	note := func(site, name string, fails bool) {
		saver.BackgroundOf(site, func(context.Context) error {
			if fails && full {
				return storage.ErrFull
			}
			made = append(made, name)
			return nil
		})
	}
	note("a", "a1", true)
	note("a", "a2", false)
	note("b", "b1", false)
	saver.Background(func(context.Context) error { made = append(made, "read"); return nil })
	stage.Until("the others are stored", func() bool { return len(made) == 2 })
	assert.Equal(t, []string{"b1", "read"}, made)
	assert.Contains(t, saver.Unsaved, "no room")
	assert.Equal(t, 2, saver.WaitingOf("a"))
	assert.Equal(t, 0, saver.WaitingOf("b"))
	full = false
	saver.Retry(stage)
	stage.Until("all stored", func() bool { return saver.Waiting() == 0 })
	assert.Equal(t, []string{"b1", "read", "a1", "a2"}, made)
}

// What may succeed later is tried again by itself, after waits that grow.
func TestWhatFailedIsTriedAgainByItself(t *testing.T) {
	stage, saver := newSaver(t)
	var waits []time.Duration
	saver.after = func(wait time.Duration, f func()) func() bool {
		waits = append(waits, wait)
		go f()
		return func() bool { return true }
	}
	left := 8
	saver.BackgroundOf("a", func(context.Context) error {
		if left--; left >= 0 {
			return storage.ErrFull
		}
		return nil
	})
	stage.Until("stored", func() bool { return saver.Waiting() == 0 })
	assert.Equal(t, []time.Duration{2 * time.Second, 4 * time.Second, 8 * time.Second, 16 * time.Second,
		32 * time.Second, time.Minute, time.Minute, time.Minute}, waits)
	assert.Empty(t, saver.Unsaved, "nothing is amiss any more")
}

// A call that never can succeed and with which nothing is lost is said, and is gone.
func TestWhatCanNeverBeDoneIsNotTriedForEver(t *testing.T) {
	stage, saver := newSaver(t)
	tries, made := 0, false
	saver.BackgroundOf("a", func(context.Context) error { tries++; return storage.ErrNotFound })
	saver.BackgroundOf("a", func(context.Context) error { made = true; return nil })
	stage.Until("the queue went on", func() bool { return made && saver.Waiting() == 0 })
	assert.Equal(t, 1, tries)
	assert.NotEmpty(t, saver.Unsaved)
}

// removedBehind takes an entry out of the site behind the screen's back.
func (b *bench) commitBehind(change storage.Change) {
	b.t.Helper()
	store := storage.NewStore(b.backend, storage.SteppingClock())
	_, err := store.Commit(b.t.Context(), b.Doc.ID, storage.Edit{Changes: []storage.Change{change}}, "")
	require.NoError(b.t, err)
}

// What was typed into an entry that another tab removed is kept beside the site,
// with words; what was typed after it is stored; a new start knows of both.
func TestWhatCanNeverBeStoredIsKeptBeside(t *testing.T) {
	b := openBench(t)
	e, err := storage.PutNote(b.Doc, storage.Note{ID: "n1", Text: "first"})
	b.Commit(b.Stage, e, err)
	b.saved()
	b.commitBehind(storage.Change{Path: "/notes/@n1"})
	typed := storage.Edit{Label: "Note", Changes: []storage.Change{{Path: "/notes/@n1/text", After: []byte(`"the pit is deep"`)}}}
	b.Commit(b.Stage, typed, nil)
	name, err := storage.SetWords(b.Doc, "site.name", "Mill Lane")
	b.Commit(b.Stage, name, err)
	b.saved()
	require.Len(t, b.Asides, 1)
	assert.Equal(t, b.Doc.ID, b.Asides[0].Site)
	assert.Contains(t, b.Asides[0].Words(), "the pit is deep")
	assert.Contains(t, b.Asides[0].Why.String(), "removed meanwhile")
	b.Until("the screen shows what is stored", func() bool { return len(b.Doc.Notes) == 0 && b.Waiting() == 0 })
	assert.Equal(t, "Mill Lane", b.Doc.Survey.Site.Name)

	again := benchOver(t, b.backend, b.Doc.ID)
	again.Until("it is known", func() bool { return len(again.Asides) == 1 })
	assert.Equal(t, b.Asides, again.Asides)
	again.DropAside(again.Asides[0].ID)
	again.Until("it is dropped", func() bool { return len(again.Asides) == 0 && again.Waiting() == 0 })
	third := benchOver(t, b.backend, b.Doc.ID)
	third.Rest()
	assert.Empty(t, third.Asides)
}

// pad is a journal in memory.
type pad struct {
	old, own []string
	held     int
}

func (p *pad) Write(text string) {
	p.own = nil
	if text != "" {
		p.own = []string{text}
	}
}
func (p *pad) Take() map[string]string {
	taken := map[string]string{}
	for i, text := range p.old {
		taken[strconv.Itoa(i)] = text
	}
	return taken
}
func (p *pad) Text(key string) (string, bool) {
	i, _ := strconv.Atoi(key)
	return p.old[i], true
}
func (p *pad) Done()      { p.old = nil }
func (p *pad) Hold(n int) { p.held = n }
func (p *pad) Held() int  { return p.held }

// The page is loaded anew while the store fails: what waited is stored, in order.
func TestALoadedPageLosesNothingThatWaits(t *testing.T) {
	b := openBench(t)
	p := &pad{}
	b.Journal = p
	store := b.Store
	b.Store = failing{store}
	b.typed("opening.width", "4321")
	name, err := storage.SetWords(b.Doc, "site.name", "Mill Lane")
	b.Commit(b.Stage, name, err)
	b.Until("it fails", func() bool { return b.Unsaved != "" })
	b.Rest()
	require.NotEmpty(t, p.own)

	stage := turnstest.New(t)
	device := NewDevice(stage.Turns, &language.Speaker{}, openMemory(b.backend))
	device.Journal = &pad{old: p.own}
	site := NewSite(device)
	stage.GoTo("/site/" + b.Doc.ID + "/measure")
	site.Follow(stage, nil)
	stage.Until("all is stored", func() bool { return site.Doc != nil && site.Waiting() == 0 })
	assert.InDelta(t, 4321, site.Doc.Survey.Opening.Width.Size, 0)
	assert.Equal(t, "Mill Lane", site.Doc.Survey.Site.Name)
	l, err := store.Load(t.Context(), b.Doc.ID)
	require.NoError(t, err)
	assert.Equal(t, "Mill Lane", l.Document.Survey.Site.Name)
	assert.Empty(t, device.Journal.(*pad).own)
	assert.Empty(t, device.Journal.(*pad).old)
}

// failing is a store that keeps nothing now.
type failing struct{ storage.Store }

func (failing) Commit(context.Context, string, storage.Edit, storage.Revision) (storage.Loaded, error) {
	return storage.Loaded{}, errors.Join(storage.ErrFull)
}

// A correction that comes while something waits to be stored is on the screen once
// it is stored.
func TestACorrectionWhileSomethingWaitsIsSeen(t *testing.T) {
	b := openBench(t)
	store := b.Store
	release := make(chan struct{})
	b.Store = slow{store, release}
	name, err := storage.SetWords(b.Doc, "site.name", "Mill Lane")
	b.Commit(b.Stage, name, err)
	close(release)
	b.Until("the store has it", func() bool { // and its answer is not read yet
		l, err := store.Load(t.Context(), b.Doc.ID)
		return err == nil && l.Document.Survey.Site.Name == "Mill Lane"
	})
	b.backOf(func() {
		b.commitBehind(storage.Change{Path: "/survey/site/client", After: []byte(`"Ana"`)})
		b.ChangedElsewhere(b.Doc.ID)
	})
	b.Until("the correction is seen", func() bool { return b.Doc.Survey.Site.Client == "Ana" })
	assert.Equal(t, "Mill Lane", b.Doc.Survey.Site.Name)
}

// backOf has f done while one more thing of the site waits.
func (b *bench) backOf(f func()) {
	hold := make(chan struct{})
	b.BackgroundOf(b.Doc.ID, func(context.Context) error { <-hold; return nil })
	f()
	b.Rest()
	close(hold)
}

type slow struct {
	storage.Store
	release chan struct{}
}

func (s slow) Commit(c context.Context, id string, e storage.Edit, base storage.Revision) (storage.Loaded, error) {
	<-s.release
	return s.Store.Commit(c, id, e, base)
}

// While a site waits, opening it again shows what was typed.
func TestAnOpenedSiteShowsWhatWaits(t *testing.T) {
	b := openBench(t)
	store := b.Store
	b.Store = failing{store}
	name, err := storage.SetWords(b.Doc, "site.name", "Mill Lane")
	b.Commit(b.Stage, name, err)
	b.Until("it fails", func() bool { return strings.Contains(b.Unsaved, "room") })
	b.Doc = nil
	b.Follow(b.Stage, nil)
	b.Until("it is open", func() bool { return b.Doc != nil })
	assert.Equal(t, "Mill Lane", b.Doc.Survey.Site.Name)
}

// Where an edit replaces what somebody else entered meanwhile, that is known until a
// person has seen it; undo brings the other back.
func TestWhatAnEditReplacedIsKnown(t *testing.T) {
	b := openBench(t)
	b.commitBehind(storage.Change{Path: "/survey/site/client", After: []byte(`"Ana"`)})
	e, err := storage.SetWords(b.Doc, "site.client", "Ben")
	b.Commit(b.Stage, e, err)
	b.Until("it is stored", func() bool { return b.Waiting() == 0 })
	require.Len(t, b.Overwrote, 1)
	assert.Equal(t, "/survey/site/client", b.Overwrote[0].Path)
	assert.JSONEq(t, `"Ana"`, string(b.Overwrote[0].Before))
	b.Undo()
	b.Until("the other is back", func() bool { return b.Doc.Survey.Site.Client == "Ana" })
}

// An undo that was done though its call failed is not done once more.
func TestAnUndoIsMadeOnce(t *testing.T) {
	b := openBench(t)
	for _, name := range []string{"Ana", "Ben"} {
		e, err := storage.SetWords(b.Doc, "site.client", name)
		b.Commit(b.Stage, e, err)
		b.saved()
	}
	b.Store = &unheard{Store: b.Store}
	b.Undo()
	b.Until("it fails", func() bool { return b.Unsaved != "" })
	b.Retry(b.Stage)
	b.saved()
	assert.Equal(t, "Ana", b.Doc.Survey.Site.Client)
}

// unheard is a store of which the first undo is done, and its answer lost.
type unheard struct {
	storage.Store
	once bool
}

func (u *unheard) Undo(c context.Context, id string) (storage.Loaded, error) {
	l, err := u.Store.Undo(c, id)
	if !u.once {
		u.once = true
		return storage.Loaded{}, storage.ErrFull
	}
	return l, err
}
