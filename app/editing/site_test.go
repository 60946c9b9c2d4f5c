package editing

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/language"
	"pegpour/app/turns"
	"pegpour/engine/advice"
	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/demo"
)

// openSite has a site in hand without a browser or a store.
func openSite(t *testing.T, taken survey.Survey) *Site {
	t.Helper()
	w := NewSite(NewDevice(&turns.Turns{}, &language.Speaker{}, nil))
	w.Shop = storage.NewShop()
	w.Doc = storage.NewDocument(Now())
	w.Doc.Survey = taken
	w.Design()
	return w
}

func TestWalkAsksOnlyWhatTheSiteNeeds(t *testing.T) {
	for _, site := range demo.Sites() {
		w := openSite(t, site.Survey)
		steps := w.Steps()
		taken := w.Survey()
		for _, step := range steps {
			if f, ok := survey.FieldAt(step); ok {
				assert.True(t, f.Needed(&taken), "%s asks %s", site.Survey.Site.Name, step)
			}
		}
		assert.Equal(t, StepDone, steps[len(steps)-1])
		assert.Equal(t, survey.SiteName, steps[0])
		for i, step := range steps {
			assert.Equal(t, i, slices.Index(steps, step), "%s is asked twice", step)
		}
	}
	square := openSite(t, demo.Sites()[0].Survey)
	assert.NotContains(t, square.Steps(), survey.DrivePaverBase)
	assert.NotContains(t, square.Steps(), survey.GroundDepthToFirm)
}

func TestAnUnreadableEntryCountsAsNotMeasured(t *testing.T) {
	w := openSite(t, demo.Sites()[0].Survey)
	require.Equal(t, 4000.0, w.Plan().Opening)
	e, err := storage.SetValue(w.Doc, survey.OpeningWidth, survey.Measured(4500, survey.ByTape))
	require.NoError(t, err)
	w.Doc, err = storage.Apply(w.Doc, e)
	require.NoError(t, err)
	w.Design()
	require.Equal(t, 4500.0, w.Plan().Opening)

	e, err = storage.SetDraft(w.Doc, survey.OpeningWidth, "45o0")
	require.NoError(t, err)
	w.Doc, err = storage.Apply(w.Doc, e)
	require.NoError(t, err)
	w.Design()
	assert.Equal(t, 4000.0, w.Plan().Opening, "the assumed opening stands in")
	f := survey.FieldOf(survey.OpeningWidth)
	text, problem := w.Entry(f)
	assert.Equal(t, "45o0", text)
	assert.NotEmpty(t, problem)
	assert.False(t, w.Known(survey.OpeningWidth))
	found := false
	for _, a := range w.Plan().Assumed {
		found = found || a.Path == survey.OpeningWidth
	}
	assert.True(t, found, "and is listed as assumed")
}

// "4", "40" and "400" on the way to "4000" are no faults: nothing is called
// wrong before the number is complete.
func TestANumberOnItsWayIsNoFault(t *testing.T) {
	w := openSite(t, demo.Sites()[0].Survey)
	f := survey.FieldOf(survey.OpeningWidth)
	typed := func(text string) {
		t.Helper()
		v, err := w.parse(f, text)
		require.NoError(t, err)
		e, _ := storage.SetValue(w.Doc, f.Path, survey.Value{Size: v, How: survey.ByTape, Text: text})
		w.Doc, err = storage.Apply(w.Doc, e)
		require.NoError(t, err)
		w.typing = f.Path
		w.Design()
	}
	typed("400")
	_, problem := w.Entry(f)
	assert.NotEmpty(t, problem)
	assert.Equal(t, "400 so far; 800 – 12000\u00a0mm allowed.", w.EntrySays(f, problem))
	w.Ask(survey.OpeningPostLatch)
	w.Ask(f.Path)
	assert.Contains(t, w.EntrySays(f, problem), "Read as 400\u00a0mm; allowed is 800\u00a0mm", "left like this it is one")
	for _, text := range []string{"0", "-5", "40000"} {
		typed(text)
		assert.Empty(t, w.Unfinished(f), text)
	}
	typed("4000")
	_, problem = w.Entry(f)
	assert.Equal(t, "Read as 4000\u00a0mm, tape.", w.EntrySays(f, problem))
}

func TestEntryShowsWhatWasTyped(t *testing.T) {
	w := openSite(t, demo.Sites()[0].Survey)
	f := survey.FieldOf(survey.OpeningWidth)
	e, err := storage.SetValue(w.Doc, f.Path, survey.Value{Size: 3204, How: survey.ByLaser, Text: "3.204 m"})
	require.NoError(t, err)
	w.Doc, err = storage.Apply(w.Doc, e)
	require.NoError(t, err)
	text, problem := w.Entry(f)
	assert.Equal(t, "3.204 m", text)
	assert.Empty(t, problem)
	// In another unit the text would mean something else: the value is written.
	e2, err := storage.SetSetting(w.Shop, storage.SettingUnits, storage.UnitsFeet)
	require.NoError(t, err)
	shop, err := storage.ApplyShop(w.Shop, e2)
	require.NoError(t, err)
	w.UseShop(storage.LoadedShop{Shop: shop})
	e, err = storage.SetValue(w.Doc, f.Path, survey.Value{Size: 3204, How: survey.ByLaser, Text: "3204"})
	require.NoError(t, err)
	w.Doc, err = storage.Apply(w.Doc, e)
	require.NoError(t, err)
	text, _ = w.Entry(f)
	assert.Contains(t, text, "10'")
}

// What changes nothing at this site is not asked, stays in reach at the end of
// the walk, is never taken away while it is being asked, and comes back once it
// is answered.
func TestWalkLeavesOutWhatChangesNothing(t *testing.T) {
	w := openSite(t, survey.Survey{})
	all := len(w.Steps())
	left := map[string]bool{}
	for _, path := range openQuestions(&w.survey) {
		left[path] = !advice.Matters(w.survey, w.Practice, w.Plan(), path)
	}
	w.Ask(survey.OpeningPostLatch)
	w.leaveOut(left, w.Seal)
	assert.Equal(t, all-3, len(w.Steps()))
	assert.NotContains(t, w.Steps(), survey.OpeningPostRunBack)
	assert.NotContains(t, w.Steps(), survey.GroundFrost, "the posts go below it already")
	assert.Contains(t, w.Steps(), survey.OpeningPostLatch, "it is being asked")
	w.Ask(survey.OpeningWidth)
	assert.Equal(t, all-4, len(w.Steps()))

	w.ranking.seal, w.ranking.all = w.Seal, w.Plan().Assumed
	matter, idle, known := w.StillAssumed()
	assert.True(t, known)
	assert.Len(t, idle, 4)
	assert.Equal(t, len(w.Plan().Assumed), len(matter)+len(idle))

	e, err := storage.SetValue(w.Doc, survey.OpeningPostLatch, survey.Measured(90, survey.ByTape))
	require.NoError(t, err)
	w.Doc, err = storage.Apply(w.Doc, e)
	require.NoError(t, err)
	w.Design()
	assert.Contains(t, w.Steps(), survey.OpeningPostLatch, "it is answered")
}

// An answer may make a question matter that was left out a moment ago: going on
// looks again before it passes the question by.
func TestWalkLooksAgainBeforeItPassesBy(t *testing.T) {
	w := openSite(t, survey.Survey{})
	w.Ask(survey.OpeningWidth)
	require.True(t, advice.Matters(w.survey, w.Practice, w.Plan(), survey.DriveSurface))
	w.leaveOut(map[string]bool{survey.DriveSurface: true, survey.OpeningPostLatch: true}, "an older design")
	require.NotContains(t, w.Steps(), survey.DriveSurface)
	w.recheckLeftOut()
	assert.Contains(t, w.Steps(), survey.DriveSurface)
	assert.NotContains(t, w.Steps(), survey.OpeningPostLatch, "it still changes nothing")
}
