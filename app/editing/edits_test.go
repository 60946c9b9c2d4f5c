package editing

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/language"
	"pegpour/app/turns/turnstest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
	"pegpour/storage/demo"
)

// bench is a site in hand over a store in memory.
type bench struct {
	*turnstest.Stage
	*Site
	t       *testing.T
	backend *storage.Memory
}

func openMemory(backend *storage.Memory) Open {
	return func(context.Context) (storage.Store, error) {
		return storage.NewStore(backend, storage.SteppingClock()), nil
	}
}

// openBench opens a device with one site on it.
func openBench(t *testing.T) *bench {
	t.Helper()
	backend := &storage.Memory{}
	store := storage.NewStore(backend, storage.SteppingClock())
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Survey = demo.Sites()[0].Survey
	_, err := store.Create(t.Context(), d)
	require.NoError(t, err)
	b := benchOver(t, backend, d.ID)
	return b
}

// benchOver opens a site in a tab of its own.
func benchOver(t *testing.T, backend *storage.Memory, id string) *bench {
	t.Helper()
	stage := turnstest.New(t)
	device := NewDevice(stage.Turns, &language.Speaker{}, openMemory(backend))
	b := &bench{Stage: stage, Site: NewSite(device), t: t, backend: backend}
	stage.GoTo("/site/" + id + "/measure")
	opened := false
	device.Opened = func() { opened = true }
	b.Follow(stage, nil)
	b.Until("the site is open", func() bool { return b.Doc != nil && b.Waiting() == 0 })
	assert.True(t, opened)
	return b
}

// typed types a text into a field, key by key.
func (b *bench) typed(path, words string) {
	f, ok := survey.FieldAt(path)
	require.True(b.t, ok)
	b.Ask(path)
	for i := range words {
		b.Type(b.Stage, f, words[:i+1])
	}
}

func (b *bench) saved() {
	b.t.Helper()
	b.Until("all is stored", func() bool { return b.Waiting() == 0 })
}

// stored is the site as a program started anew would read it.
func (b *bench) stored() *storage.Document {
	b.t.Helper()
	l, err := b.Store.Load(b.t.Context(), b.Doc.ID)
	require.NoError(b.t, err)
	return l.Document
}

func (b *bench) same() {
	b.t.Helper()
	// The store stamps the time.
	shown, kept := *b.Doc, *b.stored()
	shown.Changed, kept.Changed = "", ""
	here, err := storage.Encode(&shown)
	require.NoError(b.t, err)
	there, err := storage.Encode(&kept)
	require.NoError(b.t, err)
	assert.Equal(b.t, string(here), string(there))
}

func TestASiteIsOpenedFromItsAddress(t *testing.T) {
	b := openBench(t)
	assert.Equal(t, demo.Sites()[0].Survey.Site.Name, b.Doc.Survey.Site.Name)
	assert.NotEmpty(t, b.Plan().Figures)
	assert.NotEmpty(t, b.Revision)
	assert.False(t, b.CanUndo)
	assert.Empty(t, b.Failure)

	held := b.Doc
	called := false
	b.Follow(b.Stage, func(app.Context) { called = true })
	assert.True(t, called, "the site in hand is not read again")
	assert.Same(t, held, b.Doc)
}

// A screen puts its cursor where it belongs once the site is designed and judged: what is
// deferred before would find nothing on the page.
func TestAScreenGoesOnOnceItsSiteIsShown(t *testing.T) {
	b := openBench(t)
	other := storage.NewDocument(Now())
	other.Survey = demo.Sites()[1].Survey
	_, err := b.Store.Create(t.Context(), other)
	require.NoError(t, err)
	b.GoTo("/site/" + other.ID + "/measure")
	order := []string{}
	b.FollowAnd(b.Stage, func(app.Context) {
		order = append(order, "held")
		assert.Empty(t, b.Outlines().Checks)
	}, func() {
		order = append(order, "shown")
		assert.NotEmpty(t, b.Outlines().Checks)
	})
	b.Until("it is shown", func() bool { return len(order) == 2 })
	b.FollowAnd(b.Stage, nil, func() { order = append(order, "shown again") })
	assert.Equal(t, []string{"held", "shown", "shown again"}, order)
}

func TestASiteThatIsNotHereIsSaid(t *testing.T) {
	b := openBench(t)
	b.GoTo("/site/00000000-0000-4000-8000-000000000099/measure")
	b.Asked = survey.OpeningWidth
	b.Follow(b.Stage, func(app.Context) { t.Error("there is nothing to go on with") })
	b.Until("the failure", func() bool { return b.Failure != "" })
	assert.Contains(t, b.Failure, "This site cannot be opened")
	assert.Nil(t, b.Doc)
	assert.Empty(t, b.Asked)
}

func TestAStoreThatCannotBeOpenedIsSaidAndTriedAgain(t *testing.T) {
	stage := turnstest.New(t)
	broken := true
	backend := &storage.Memory{}
	device := NewDevice(stage.Turns, &language.Speaker{}, func(c context.Context) (storage.Store, error) {
		if broken {
			return nil, &storage.UnavailableError{Reason: storage.NoIndexedDB}
		}
		return openMemory(backend)(c)
	})
	reached := 0
	device.WithStore(func(app.Context) { reached++ })
	stage.Until("the failure", func() bool { return device.Failure != "" })
	assert.Contains(t, device.Failure, "Nothing can be kept on this device")
	assert.Zero(t, reached)
	broken = false
	device.WithStore(func(app.Context) { reached++ })
	stage.Until("the store is open", func() bool { return reached == 1 })
	device.WithStore(func(app.Context) { reached++ })
	assert.Equal(t, 2, reached, "an open store is used at once")
}

// The screen is ahead of the store, and the store ends where the screen is.
func TestAnEditIsShownAtOnceAndStoredAfter(t *testing.T) {
	b := openBench(t)
	seal := b.Seal
	b.typed(survey.OpeningWidth, "4200")
	assert.Equal(t, 4200.0, b.Plan().Opening, "shown before anything is stored")
	assert.NotEqual(t, seal, b.Seal)
	assert.True(t, b.CanUndo)
	assert.Equal(t, 4, b.Waiting(), "one edit for each key")
	assert.NotEqual(t, 4200.0, b.stored().Survey.Opening.Width.Size)
	b.saved()
	b.same()
	assert.Equal(t, 4200.0, b.stored().Survey.Opening.Width.Size)
}

func TestTypingIsUndoneInOneStep(t *testing.T) {
	b := openBench(t)
	b.typed(survey.OpeningWidth, "4200")
	b.typed(survey.OpeningPostLatch, "120")
	b.saved()
	b.Undo()
	b.saved()
	assert.Equal(t, demo.Sites()[0].Survey.Opening.PostLatch, b.Doc.Survey.Opening.PostLatch,
		"all three keys are taken back")
	assert.Equal(t, 4200.0, b.Doc.Survey.Opening.Width.Size)
	assert.True(t, b.CanRedo)
	b.Undo()
	b.saved()
	assert.Equal(t, demo.Sites()[0].Survey.Opening.Width, b.Doc.Survey.Opening.Width)
	assert.False(t, b.CanUndo)
	b.Undo() // nothing is left to take back
	b.saved()
	assert.Empty(t, b.Unsaved, "that is no failure")

	b.Redo()
	b.saved()
	b.Redo()
	b.saved()
	assert.Equal(t, 120.0, b.Doc.Survey.Opening.PostLatch.Size)
	assert.False(t, b.CanRedo)
	b.same()
}

func TestAnEditEndsWhatCouldBeRedone(t *testing.T) {
	b := openBench(t)
	b.typed(survey.OpeningWidth, "4200")
	b.saved()
	b.Undo()
	b.saved()
	require.True(t, b.CanRedo)
	b.typed(survey.OpeningPostLatch, "90")
	assert.False(t, b.CanRedo, "at once, before it is stored")
	b.saved()
	assert.False(t, b.CanRedo)
	assert.True(t, b.CanUndo)
}

// What cannot be read stays as it was typed, on the screen and in the store, and
// counts as not measured.
func TestDraftsAreKept(t *testing.T) {
	b := openBench(t)
	b.typed(survey.OpeningWidth, "42x")
	b.saved()
	words, ok := b.Draft(survey.OpeningWidth)
	assert.True(t, ok)
	assert.Equal(t, "42x", words)
	assert.Equal(t, map[string]string{survey.OpeningWidth: "42x"}, b.stored().DraftsByField())
	taken := b.Survey()
	assert.False(t, taken.Opening.Width.Known())

	again := benchOver(t, b.backend, b.Doc.ID)
	words, _ = again.Draft(survey.OpeningWidth)
	assert.Equal(t, "42x", words, "a program started anew has it too")
	f := survey.FieldOf(survey.OpeningWidth)
	shown, problem := again.Entry(f)
	assert.Equal(t, "42x", shown)
	assert.Contains(t, problem, "Not read")

	again.Type(again.Stage, f, "4300")
	again.saved()
	_, ok = again.Draft(survey.OpeningWidth)
	assert.False(t, ok)
	assert.Empty(t, again.stored().DraftsByField())
}

func TestAnEmptiedEntryIsNotMeasured(t *testing.T) {
	b := openBench(t)
	f := survey.FieldOf(survey.OpeningWidth)
	b.typed(survey.OpeningWidth, "4200")
	b.Type(b.Stage, f, "")
	b.saved()
	assert.False(t, b.stored().Survey.Opening.Width.Known())
	before := b.Designs()
	b.Type(b.Stage, f, "")
	assert.Equal(t, before, b.Designs(), "the same text asks nothing anew")
	assert.Zero(t, b.Waiting())
}

func TestOutOfRangeIsKeptAndRefused(t *testing.T) {
	b := openBench(t)
	b.typed(survey.OpeningWidth, "90000")
	b.saved()
	f := survey.FieldOf(survey.OpeningWidth)
	_, problem := b.Entry(f)
	assert.Contains(t, problem, "allowed is")
	assert.NotEqual(t, 90000.0, b.Plan().Opening, "the plan is drawn with what is assumed")
	assert.Contains(t, b.EntrySays(f, problem), "The drawing uses")
	b.same()
}

// A full device loses nothing: what was typed stays on the screen and is stored
// once there is room, also what was typed meanwhile.
func TestAFullDeviceKeepsWhatIsTypedUntilThereIsRoom(t *testing.T) {
	b := openBench(t)
	b.backend.FailAt(1, storage.ErrFull, false)
	b.typed(survey.OpeningWidth, "4")
	b.Until("the failure", func() bool { return b.Unsaved != "" })
	assert.Contains(t, b.Unsaved, "no room left")
	b.typed(survey.OpeningWidth, "4200")
	b.Rest()
	assert.Equal(t, 4200.0, b.Plan().Opening)
	assert.NotEqual(t, 4200.0, b.stored().Survey.Opening.Width.Size)
	b.Retry(b.Stage)
	b.saved()
	assert.Empty(t, b.Unsaved)
	b.same()
}

// Whichever call of the store fails while a number is typed, the store ends where
// the screen is after one more try.
func TestEveryCallOfTheStoreFailsInTurn(t *testing.T) {
	for n := 1; ; n++ {
		b := openBench(t)
		b.backend.FailAt(n, errors.New("fault "+fmt.Sprint(n)), false)
		b.typed(survey.OpeningWidth, "4200")
		b.Until("stored or refused", func() bool { return b.Waiting() == 0 || b.Unsaved != "" })
		if b.Unsaved == "" {
			require.Greater(t, n, 5, "the search for faults has lost its way")
			return
		}
		b.Retry(b.Stage)
		b.saved()
		b.same()
		assert.Equal(t, 4200.0, b.Doc.Survey.Opening.Width.Size, n)
	}
}

// A commit whose answer was lost is made again, and changes nothing twice.
func TestALostAnswerStoresNothingTwice(t *testing.T) {
	lost := 0
	for n := 1; n < 20; n++ {
		b := openBench(t)
		b.backend.FailAt(n, errors.New("answer lost"), true)
		b.Tick(b.Stage, PegTick(1), true)
		b.Until("stored or refused", func() bool { return b.Waiting() == 0 || b.Unsaved != "" })
		b.backend.FailAt(0, nil, false)
		if b.Unsaved != "" {
			lost++
			b.Retry(b.Stage)
			b.saved()
		}
		b.same()
		b.Undo()
		b.saved()
		b.same()
	}
	assert.Greater(t, lost, 2, "the search for faults has lost its way")
}

func TestAnEditThatCannotBeMadeIsSaid(t *testing.T) {
	b := openBench(t)
	before := b.Doc
	b.Commit(b.Stage, storage.Edit{}, errors.New("no such place"))
	assert.Contains(t, b.Unsaved, "no such place")
	assert.Same(t, before, b.Doc)
	assert.Zero(t, b.Waiting())
}

func TestTicksAndRemediesAreOneEditEach(t *testing.T) {
	b := openBench(t)
	b.Tick(b.Stage, PegTick(3), true)
	b.saved()
	assert.True(t, b.stored().Ticks["peg.3"])
	b.ApplyRemedy(b.Stage, plan.Remedy{Words: text.Text{Format: "Build it this way"}, Changes: []plan.Change{
		{Path: survey.OpeningWidth, Value: 3600},
		{Path: survey.GatePanels, Words: survey.PanelsTwo},
		{Path: practice.PracticePath + practice.RuleStripWidth, Value: 320},
	}})
	assert.Equal(t, 3600.0, b.Plan().Opening)
	b.saved()
	stored := b.stored()
	assert.Equal(t, survey.ByEstimate, stored.Survey.Opening.Width.How, "nobody measured it")
	assert.Equal(t, survey.PanelsTwo, stored.Survey.Gate.Panels)
	assert.Contains(t, stored.Practice, "strip.width")
	b.Undo()
	b.saved()
	assert.NotContains(t, b.stored().Practice, "strip.width")
	assert.NotEqual(t, survey.PanelsTwo, b.stored().Survey.Gate.Panels, "one undo takes all of it back")
	assert.True(t, b.stored().Ticks["peg.3"])
}

// Another tab.

func TestAChangeInAnotherTabIsShown(t *testing.T) {
	b := openBench(t)
	other := benchOver(t, b.backend, b.Doc.ID)
	other.Store.Watch(other.ChangedElsewhere)
	b.typed(survey.OpeningWidth, "4200")
	b.saved()
	other.Until("the other tab shows it", func() bool { return other.Doc.Survey.Opening.Width.Size == 4200 })
	assert.Equal(t, 4200.0, other.Plan().Opening)
	assert.Equal(t, b.Revision, other.Revision)
	assert.True(t, other.CanUndo)
}

func TestAChangeOfAnotherSiteIsNotRead(t *testing.T) {
	b := openBench(t)
	held, designs := b.Doc, b.Designs()
	b.ChangedElsewhere("another")
	b.ChangedElsewhere(b.Doc.ID) // nothing changed
	b.Rest()
	assert.Same(t, held, b.Doc)
	assert.Equal(t, designs, b.Designs())
}

// Both tabs type at once, into different fields: neither loses a key.
func TestTwoTabsThatTypeAtOnceLoseNothing(t *testing.T) {
	b := openBench(t)
	other := benchOver(t, b.backend, b.Doc.ID)
	b.Store.Watch(b.ChangedElsewhere)
	other.Store.Watch(other.ChangedElsewhere)
	b.typed(survey.OpeningWidth, "4200")
	other.typed(survey.OpeningPostLatch, "120")
	b.saved()
	other.saved()
	b.Until("this tab has the other's", func() bool { return b.Doc.Survey.Opening.PostLatch.Size == 120 })
	other.Until("the other has this one's", func() bool { return other.Doc.Survey.Opening.Width.Size == 4200 })
	b.same()
	other.same()
}
