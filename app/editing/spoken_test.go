package editing

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"pegpour/app/language"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

// What is heard at a field becomes what its keypad types, or is refused with a sentence.
func TestHeardAtAField(t *testing.T) {
	w := NewSite(NewDevice(nil, &language.Speaker{}, nil))
	w.Doc = storage.NewDocument(Now())
	for _, c := range []struct {
		field              survey.Path
		heard, typed, says string
	}{
		{survey.OpeningWidth, "four thousand three hundred and fifty", "4350", "Heard “four thousand three hundred and fifty”: 4350 mm. Next takes it."},
		{survey.OpeningWidth, "four point three five metres", "4350", "Heard “four point three five metres”: 4350 mm. Next takes it."},
		{survey.OpeningWidth, "four point three five zero", "4350", "Heard “four point three five zero”: 4350 mm. Next takes it."},
		{survey.OpeningWidth, "four point three five", "", "Heard “four point three five”: say the unit too."},
		{survey.OpeningWidth, "four metres five", "", "Heard “four metres five”, which can mean two numbers. Say it digit by digit."},
		{survey.OpeningWidth, "good morning", "", "Heard “good morning”: this is no number. Nothing was entered."},
		{survey.OpeningWidth, "twelve degrees", "", "Heard “twelve degrees”: another unit is used here."},
		{survey.OpeningWidth, "well I should think that it is about three metres", "",
			"Heard “well I should think that it is about thr…”: this is no number. Nothing was entered."},
		{survey.DriveRunBackEdgeAngle, "eighty-two point five degrees", "82.5°", "Heard “eighty-two point five degrees”: 82.5°. Next takes it."},
		{survey.DriveRunBackEdgeAngle, "eighty-two point five", "82.5", "Heard “eighty-two point five”: 82.5°. Next takes it."},
	} {
		typed, says := w.understand(survey.FieldOf(c.field), c.heard, "en")
		assert.Equal(t, c.typed, typed, c.heard)
		assert.Equal(t, c.says, strings.ReplaceAll(says, language.NoBreak, " "), c.heard)
	}
	typed, says := w.understand(survey.FieldOf(survey.OpeningWidth), "ninety thousand", "en")
	assert.Equal(t, "90000", typed, "as typed digits: seen, and said to be wrong")
	assert.Contains(t, strings.ReplaceAll(says, language.NoBreak, " "), "Heard “ninety thousand”. Read as 90000 mm; allowed is")
}

// Each kind of number that a site has is spoken: for every numeric field something that
// can be said of its kind is understood as what it is.
func TestHeardOfEachKind(t *testing.T) {
	w := NewSite(NewDevice(nil, &language.Speaker{}, nil))
	w.Doc = storage.NewDocument(Now())
	said := map[text.Dimension]string{text.Length: "minus twelve", text.Grade: "one in forty", text.AngleOf: "minus three degrees"}
	means := map[text.Dimension]float64{text.Length: -12, text.Grade: 0.025, text.AngleOf: -math.Pi / 60}
	taken, kinds := w.Survey(), map[text.Dimension]int{}
	for _, f := range survey.Fields(&taken) {
		if !f.Numeric() {
			continue
		}
		heard, want := said[f.Dimension], means[f.Dimension]
		if heard == "" { // counts, and what has no unit to type
			heard, want = "one hundred and two", 102
		}
		typed, says := w.understand(f, heard, "en")
		size, err := w.parse(f, typed)
		assert.NoError(t, err, "%s: %s", f.Path, says)
		assert.InDelta(t, want, size, 1e-12, f.Path)
		kinds[f.Dimension]++
	}
	for d := range said {
		assert.Positive(t, kinds[d], d)
	}
	assert.Greater(t, len(kinds), len(said))
}

// A number that was heard is kept by going on, and by nothing else.
func TestHeardIsKeptWhenPassed(t *testing.T) {
	w := NewSite(NewDevice(nil, &language.Speaker{}, nil))
	w.Doc = storage.NewDocument(Now())
	f := survey.FieldOf(survey.OpeningWidth)
	w.Ask(f.Path)
	w.heard = heard{site: w.Doc.ID, path: f.Path, typed: "4350", says: "Heard."}
	words, problem := w.Entry(f)
	assert.Equal(t, "4350", words)
	assert.Empty(t, problem)
	assert.True(t, w.Heard(f))
	assert.False(t, f.Value(&w.Doc.Survey).Known())
	assert.Equal(t, "Heard.", w.EntrySays(f, ""))
	w.Ask(survey.RunBackRoom)
	assert.False(t, w.Heard(f))
	words, _ = w.Entry(f)
	assert.Empty(t, words)
}
