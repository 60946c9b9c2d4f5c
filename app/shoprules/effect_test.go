package shoprules

import (
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/editing"
	"pegpour/app/language"
	"pegpour/app/turns"
	"pegpour/engine/practice"
	"pegpour/storage"
	"pegpour/storage/demo"
)

// screenOf is the screen of rules of a demo site whose price is known.
func screenOf(t *testing.T, site int) *rulesScreen {
	t.Helper()
	w := editing.NewSite(editing.NewDevice(&turns.Turns{}, &language.Speaker{}, nil))
	w.Shop, w.Doc = storage.NewShop(), storage.NewDocument(editing.Now())
	w.Shop.Rules = map[string]float64{practice.RuleRateHour: 60, practice.RuleRateBag: 9}
	w.Doc.Survey = demo.Sites()[site].Survey
	w.Design()
	return newRulesScreen(w, nil, true)
}

// tried has a rule tried as it is typed, and returns what is said of it.
func tried(t *testing.T, s *rulesScreen, key, words string) string {
	t.Helper()
	r := practice.RuleOf(key)
	s.typed[key] = words
	s.look(r)
	return app.HTMLString(app.Div().Body(s.tried(r)))
}

// What a rule would change at the site stands beside it before it is kept: concrete, dig,
// money, hours and the sizes; the site stays as it is until somebody keeps it.
func TestARuleIsTriedBeforeItIsKept(t *testing.T) {
	s := screenOf(t, 0)
	seal, before := s.w.Seal, s.w.Practice.StripDepth
	markup := tried(t, s, practice.RuleStripDepth, "160")
	for _, want := range []string{"What it changes at this site", "Concrete", "Dig", "Quote, total without what has no price",
		" → ", "Hours, all hands together", "Keep 160 mm for this site"} {
		assert.Contains(t, markup, want)
	}
	assert.Equal(t, seal, s.w.Seal)
	assert.Equal(t, before, s.w.Practice.StripDepth)
	assert.Empty(t, s.w.Doc.Practice)

	assert.Contains(t, tried(t, s, practice.RuleSigmaPhone, "20"), "It changes nothing at this site.")
	for _, words := range []string{"", "9", "deep", "1e999"} {
		assert.NotContains(t, tried(t, s, practice.RuleStripDepth, words), "keep-rule", words)
	}
	assert.NotEmpty(t, s.problem(practice.RuleOf(practice.RuleStripDepth), true))
}

// What was tried on another state of the site does not stand beside the one of now.
func TestATrialThatIsOldIsNotShown(t *testing.T) {
	s := screenOf(t, 1)
	assert.Contains(t, tried(t, s, practice.RuleStripWidth, "300"), "What it changes")
	e, err := storage.SetRule(s.w.Doc, practice.RulePadAlong, 700, "")
	require.NoError(t, err)
	s.w.Doc, err = storage.Apply(s.w.Doc, e)
	require.NoError(t, err)
	s.w.Design()
	markup := app.HTMLString(app.Div().Body(s.tried(practice.RuleOf(practice.RuleStripWidth))))
	assert.NotContains(t, markup, "What it changes")
	assert.Contains(t, markup, "Show what it changes here")
	assert.Contains(t, markup, "Keep 300 mm for this site")
}

// A stop that a rule would bring is said in its own words.
func TestATrialSaysWhatWouldStop(t *testing.T) {
	s := screenOf(t, 0)
	s.w.Doc.Survey.RunBack.Room.Size = 4300
	s.w.Design()
	require.Zero(t, s.w.Stops())
	clear := practice.RuleOf(practice.RuleLeafOpenClearance)
	markup := tried(t, s, clear.Key, s.w.RuleText(clear, clear.High))
	assert.Contains(t, markup, "It would say Stop: ")
	assert.Contains(t, markup, "What says Stop")
}
