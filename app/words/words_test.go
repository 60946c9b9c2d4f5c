package words

import (
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/words/gather"
	"pegpour/engine/survey"
)

// texts are gathered once for all tests.
var texts = sync.OnceValues(func() (*gather.Report, error) { return gather.Gather("../..") })

func report(t *testing.T) *gather.Report {
	t.Helper()
	r, err := texts()
	require.NoError(t, err)
	require.Greater(t, len(r.Keys), 1500, "the search has lost its way")
	return r
}

// What reaches a user passes the catalogue, as whole sentences.
func TestTextsAreWholeAndGathered(t *testing.T) {
	for _, fault := range report(t).Faults {
		t.Error(fault)
	}
	r := report(t)
	for _, known := range []string{
		"Next",                           // given to say
		"Measure-up",                     // a table of a screen
		"Undo",                           // a parameter on its way to say
		"{0} sites put away",             // counted
		"Opening between the gate posts", // the engine's table of fields
		"To the right",                   // a choice
		"Room for the track, its fixings and an edge on either side.", // why a rule
		"The pad cannot be poured.",                                   // a sentence of a check
		"Footing post {0}",                                            // a name with a hole
		"a number was expected",                                       // a reason, a constant of its type
		"Cut list",                                                    // a sheet
		"Measured by",                                                 // the title block
		"Starting",                                                    // the loader of the page
		"Centre of gravity from the leading edge",                     // given to one of two functions
	} {
		_, ok := r.Key(known)
		assert.True(t, ok, known)
	}
	for _, not := range []string{survey.OpeningWidth, "right", "metric"} {
		_, ok := r.Key(not)
		assert.False(t, ok, "%s is no text of the interface", not)
	}
}

var hole = regexp.MustCompile(`\{\d+\}`)

// holes of a text, each once.
func holes(text string) []string {
	found := hole.FindAllString(text, -1)
	slices.Sort(found)
	return slices.Compact(found)
}

// Every language has every text, with the same holes, and none that is gone.
func TestLanguagesAreComplete(t *testing.T) {
	r := report(t)
	for _, code := range Codes() {
		l, err := Read(code)
		require.NoError(t, err)
		if l == nil {
			continue // English is the key
		}
		t.Run(code, func(t *testing.T) {
			for _, k := range r.Keys {
				if !l.Has(k.Text) {
					t.Errorf("missing: %q (%s)", k.Text, strings.Join(k.Where, " "))
				}
			}
			for english, forms := range l.All() {
				if _, ok := r.Key(english); !ok {
					t.Errorf("no text of the program any more: %q", english)
				}
				for _, said := range forms {
					assert.NotEmpty(t, said, english)
					assert.Equal(t, strings.TrimSpace(english) == english, strings.TrimSpace(said) == said, "room around %q", english)
					if k, ok := r.Key(english); ok && !(k.Counted && len(holes(said)) < len(holes(english))) {
						assert.Equal(t, holes(english), holes(said), "holes of %q", english)
					}
				}
			}
		})
	}
}

func TestPseudoIsComplete(t *testing.T) {
	pseudo := string(gather.Pseudo(report(t)))
	assert.True(t, strings.Contains(pseudo, `"⟦Ågrëëš~~⟧"`))
	assert.True(t, strings.Contains(pseudo, `"rtl"`))
}
