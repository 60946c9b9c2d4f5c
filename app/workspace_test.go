package app

import (
	"slices"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/advice"
	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/demo"
)

// openWorkspace has a site in hand without a browser or a store.
func openWorkspace(t *testing.T, survey survey.Survey) *workspace {
	t.Helper()
	w := newWorkspace()
	w.shop = storage.NewShop()
	w.doc = storage.NewDocument(now())
	w.doc.Survey = survey
	w.design()
	return w
}

func TestWalkAsksOnlyWhatTheSiteNeeds(t *testing.T) {
	for _, site := range demo.Sites() {
		w := openWorkspace(t, site.Survey)
		steps := w.steps()
		measured := w.effective()
		for _, step := range steps {
			if f, ok := survey.FieldAt(step); ok {
				assert.True(t, f.Needed(&measured), "%s asks %s", site.Survey.Site.Name, step)
			}
		}
		assert.Equal(t, stepDone, steps[len(steps)-1])
		assert.Equal(t, survey.SiteName, steps[0])
		for i, step := range steps {
			assert.Equal(t, i, slices.Index(steps, step), "%s is asked twice", step)
		}
	}
	square := openWorkspace(t, demo.Sites()[0].Survey)
	assert.NotContains(t, square.steps(), survey.DrivePaverBase)
	assert.NotContains(t, square.steps(), survey.GroundDepthToFirm)
}

func TestAnUnreadableEntryCountsAsNotMeasured(t *testing.T) {
	w := openWorkspace(t, demo.Sites()[0].Survey)
	require.Equal(t, 4000.0, w.plan().Opening)
	e, err := storage.SetValue(w.doc, survey.OpeningWidth, survey.Measured(4500, survey.ByTape))
	require.NoError(t, err)
	w.doc, err = storage.Apply(w.doc, e)
	require.NoError(t, err)
	w.design()
	require.Equal(t, 4500.0, w.plan().Opening)

	e, err = storage.SetDraft(w.doc, survey.OpeningWidth, "45o0")
	require.NoError(t, err)
	w.doc, err = storage.Apply(w.doc, e)
	require.NoError(t, err)
	w.design()
	assert.Equal(t, 4000.0, w.plan().Opening, "the assumed opening stands in")
	f := survey.FieldOf(survey.OpeningWidth)
	text, problem := w.entry(f)
	assert.Equal(t, "45o0", text)
	assert.NotEmpty(t, problem)
	assert.False(t, w.known(survey.OpeningWidth))
	found := false
	for _, a := range w.plan().Assumed {
		found = found || a.Path == survey.OpeningWidth
	}
	assert.True(t, found, "and is listed as assumed")
}

// "4", "40" and "400" on the way to "4000" are no faults: nothing is called
// wrong before the number is complete.
func TestANumberOnItsWayIsNoFault(t *testing.T) {
	w := openWorkspace(t, demo.Sites()[0].Survey)
	f := survey.FieldOf(survey.OpeningWidth)
	typed := func(text string) {
		t.Helper()
		v, err := w.parse(f, text)
		require.NoError(t, err)
		e, _ := storage.SetValue(w.doc, f.Path, survey.Value{Size: v, How: survey.ByTape, Text: text})
		w.doc, err = storage.Apply(w.doc, e)
		require.NoError(t, err)
		w.typing = f.Path
		w.design()
	}
	typed("400")
	_, problem := w.entry(f)
	assert.NotEmpty(t, problem)
	assert.Equal(t, "400 so far; 800 – 12000\u00a0mm allowed.", w.entrySays(f, problem))
	w.ask(survey.OpeningPostLatch)
	w.ask(f.Path)
	assert.Contains(t, w.entrySays(f, problem), "Read as 400\u00a0mm; allowed is 800\u00a0mm", "left like this it is one")
	for _, text := range []string{"0", "-5", "40000"} {
		typed(text)
		assert.Empty(t, w.unfinished(f), text)
	}
	typed("4000")
	_, problem = w.entry(f)
	assert.Equal(t, "Read as 4000\u00a0mm, tape.", w.entrySays(f, problem))
}

func TestEntryShowsWhatWasTyped(t *testing.T) {
	w := openWorkspace(t, demo.Sites()[0].Survey)
	f := survey.FieldOf(survey.OpeningWidth)
	e, err := storage.SetValue(w.doc, f.Path, survey.Value{Size: 3204, How: survey.ByLaser, Text: "3.204 m"})
	require.NoError(t, err)
	w.doc, err = storage.Apply(w.doc, e)
	require.NoError(t, err)
	text, problem := w.entry(f)
	assert.Equal(t, "3.204 m", text)
	assert.Empty(t, problem)
	// In another unit the text would mean something else: the value is written.
	e2, err := storage.SetSetting(w.shop, storage.SettingUnits, storage.UnitsFeet)
	require.NoError(t, err)
	w.shop, err = storage.ApplyShop(w.shop, e2)
	require.NoError(t, err)
	e, err = storage.SetValue(w.doc, f.Path, survey.Value{Size: 3204, How: survey.ByLaser, Text: "3204"})
	require.NoError(t, err)
	w.doc, err = storage.Apply(w.doc, e)
	require.NoError(t, err)
	text, _ = w.entry(f)
	assert.Contains(t, text, "10'")
}

func TestFileNamesArePlain(t *testing.T) {
	assert.Equal(t, "hill-road-5", fileBase("Hill Road 5"))
	assert.Equal(t, "site", fileBase("…"))
	assert.Equal(t, "etc-passwd", fileBase("../../etc/passwd"))
	assert.LessOrEqual(t, len(fileBase("aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa")), 40)
}

func TestCursorPlacesAreCountedAsABrowserCounts(t *testing.T) {
	assert.Equal(t, 0, byteAt("½x", 0))
	assert.Equal(t, 2, byteAt("½x", 1))
	assert.Equal(t, 4, byteAt("𝟓x", 2))
	assert.Equal(t, 3, byteAt("abc", 9))
}

// What changes nothing at this site is not asked, stays in reach at the end of
// the walk, is never taken away while it is being asked, and comes back once it
// is answered.
func TestWalkLeavesOutWhatChangesNothing(t *testing.T) {
	w := openWorkspace(t, survey.Survey{})
	all := len(w.steps())
	left := map[string]bool{}
	for _, path := range openQuestions(&w.survey) {
		left[path] = !advice.Matters(w.survey, w.practice, w.plan(), path)
	}
	w.ask(survey.OpeningPostLatch)
	w.leaveOut(left, w.seal)
	assert.Equal(t, all-2, len(w.steps()))
	assert.NotContains(t, w.steps(), survey.OpeningPostRunBack)
	assert.Contains(t, w.steps(), survey.OpeningPostLatch, "it is being asked")
	w.ask(survey.OpeningWidth)
	assert.Equal(t, all-3, len(w.steps()))

	matter, idle := w.stillAssumed()
	assert.Len(t, idle, 3)
	assert.Equal(t, len(w.plan().Assumed), len(matter)+len(idle))

	e, err := storage.SetValue(w.doc, survey.OpeningPostLatch, survey.Measured(90, survey.ByTape))
	require.NoError(t, err)
	w.doc, err = storage.Apply(w.doc, e)
	require.NoError(t, err)
	w.design()
	assert.Contains(t, w.steps(), survey.OpeningPostLatch, "it is answered")
}

// An answer may make a question matter that was left out a moment ago: going on
// looks again before it passes the question by.
func TestWalkLooksAgainBeforeItPassesBy(t *testing.T) {
	w := openWorkspace(t, survey.Survey{})
	w.ask(survey.OpeningWidth)
	require.True(t, advice.Matters(w.survey, w.practice, w.plan(), survey.DriveSurface))
	w.leaveOut(map[string]bool{survey.DriveSurface: true, survey.OpeningPostLatch: true}, "an older design")
	require.NotContains(t, w.steps(), survey.DriveSurface)
	w.lookAgain()
	assert.Contains(t, w.steps(), survey.DriveSurface)
	assert.NotContains(t, w.steps(), survey.OpeningPostLatch, "it still changes nothing")
}

// The drawing of a key waits for the outlines alone; the first to ask for the
// plan gets it whole.
func TestAKeysDrawingWaitsForNoFigure(t *testing.T) {
	for _, site := range demo.Sites() {
		w := openWorkspace(t, site.Survey)
		for _, w.asked = range []string{survey.OpeningWidth, survey.RunBackDepth, survey.GateCladding} {
			w.live = &sheetView{Live: w, Fill: true}
			w.live.place, w.live.room.X, w.live.room.Y = app.Window(), 390, 210
			w.design()
			sheet, err := w.live.layout(w.live.Options, 390, 210)
			require.NoError(t, err)
			require.NotEmpty(t, sheet.Groups)
			require.Empty(t, sheet.Desc, "its words need what it did not wait for")
			require.Empty(t, w.outlines().Figures)
			require.NotEmpty(t, w.plan().Figures)
			require.Same(t, w.outlines(), w.plan())
		}
	}
}
