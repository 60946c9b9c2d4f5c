package words

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func readLanguage(t *testing.T, text string) *Language {
	t.Helper()
	l, err := Read([]byte(text))
	require.NoError(t, err)
	return l
}

func TestSay(t *testing.T) {
	l := readLanguage(t, `{"language":"de","texts":{"Peg":"Pflock","Footing post {0}":"Fundamentstütze {0}"}}`)
	for english, german := range map[string]string{
		"":                    "",
		"Peg":                 "Pflock",
		"Footing post {0}":    "Fundamentstütze {0}",
		"Footing post 2":      "Footing post 2", // rendered: no text of the source
		"what somebody typed": "what somebody typed",
	} {
		assert.Equal(t, german, l.Say(english), english)
	}
	assert.Equal(t, "Peg", (*Language)(nil).Say("Peg"))
	assert.Equal(t, "Open", (*Language)(nil).Say("Open¦the gate stands"))
	assert.Equal(t, "Open", l.Say("Open¦the gate stands"), "not in the file")
}

func TestNumbersAndDates(t *testing.T) {
	l := readLanguage(t, `{"language":"de","decimal":",","date":"DD.MM.YYYY","texts":{"a":"b"}}`)
	assert.Equal(t, "0,096 m³", l.Number("0.096 m³"))
	assert.Equal(t, "3.2", (*Language)(nil).Number("3.2"))
	assert.Equal(t, "14.03.2025", l.Date("2025-03-14"))
	assert.Equal(t, "Kim 14.03.2025", l.Date("Kim 2025-03-14"))
	assert.Equal(t, "last Tuesday", l.Date("last Tuesday"))
	assert.Equal(t, "2025-3-14x", l.Date("2025-3-14x"))
	assert.Equal(t, "2025-03-14", (*Language)(nil).Date("2025-03-14"))
}

// The categories of the CLDR's plural rules for cardinals, release 44, for the
// whole numbers its table gives as examples (from memory).
func TestPlural(t *testing.T) {
	for code, want := range map[string]map[float64]string{
		"en": {0: other, 1: one, 2: other, 21: other, 1.5: other},
		"de": {0: other, 1: one, 2: other, 101: other},
		"fr": {0: one, 1: one, 1.5: one, 2: other},
		"ja": {0: other, 1: other},
		"cs": {1: one, 2: few, 4: few, 5: other, 22: other, 1.5: other},
		"pl": {1: one, 2: few, 5: many, 12: many, 22: few, 21: many, 0: many, 1.5: other},
		"ru": {1: one, 21: one, 11: many, 2: few, 24: few, 12: many, 5: many, 0: many},
		"ar": {0: zero, 1: one, 2: two, 3: few, 110: few, 11: many, 111: many, 100: other},
	} {
		for n, category := range want {
			assert.Equal(t, category, Plural(code)(n), "%s %v", code, n)
		}
	}
}

func TestCount(t *testing.T) {
	l := readLanguage(t, `{"language":"pl","texts":{"{0} m and {1} bags":{"by":1,"one":"{0} m, {1} worek","few":"{0} m, {1} worki","many":"{0} m, {1} worków","other":"{0} m, {1} worka"},"{0} bags":{"one":"a","other":"b"}}}`)
	count := func(n float64) string {
		return l.Count("{0} m and {1} bags", func(i int) float64 { return []float64{99, n}[i] })
	}
	assert.Equal(t, "{0} m, {1} worek", count(1))
	assert.Equal(t, "{0} m, {1} worki", count(3))
	assert.Equal(t, "{0} m, {1} worków", count(5))
	assert.Equal(t, "{0} m, {1} worka", count(1.5))
	assert.Equal(t, "b", l.Count("{0} bags", func(int) float64 { return 3 }), "a category without a form takes other")
	assert.Equal(t, "x {0}", l.Count("x {0}", nil))
}

func TestRefusals(t *testing.T) {
	for _, bad := range []string{"", "{}", `{"language":"de"}`, `{"language":"de","texts":{"a":{"one":"b"}}}`,
		`{"language":"de","texts":{"a":3}}`} {
		_, err := Read([]byte(bad))
		assert.Error(t, err, bad)
	}
}
