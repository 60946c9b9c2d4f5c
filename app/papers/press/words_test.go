package press

import (
	"encoding/json"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/words/gather"
	"pegpour/engine/draw/pdf/pdftest"
	"pegpour/engine/sheets"
	"pegpour/engine/survey"
	"pegpour/engine/words"
	"pegpour/storage/demo"
)

var (
	hole  = regexp.MustCompile(`\{\d+\}`)
	plain = regexp.MustCompile(`[A-Za-z]{3,}`)
)

// textsOf are the texts that a document shows, and what is said in place of its drawings.
func textsOf(t *testing.T, pdf []byte) []string {
	t.Helper()
	f, err := pdftest.Read(pdf)
	require.NoError(t, err)
	var texts []string
	for _, page := range f.Pages() {
		lines, err := f.Lines(page)
		require.NoError(t, err)
		texts = append(texts, lines...)
	}
	spoken, faults := pdftest.Tags(f)
	assert.Empty(t, faults)
	for _, s := range spoken {
		if s.Kind == "Figure" {
			texts = append(texts, s.Text)
		}
	}
	return texts
}

// No document has a hard-wired word: in a language of signs, where every text is
// a section sign around what goes into it, no plain word is left but the names
// of steel sections.
func TestNoWordOfADocumentIsHardWired(t *testing.T) {
	report, err := gather.Gather("../../..")
	require.NoError(t, err)
	signs := map[string]string{}
	for _, k := range report.Keys {
		signs[k.Text] = "§" + strings.Join(hole.FindAllString(words.Bare(k.Text), -1), " ")
	}
	language, err := json.Marshal(
		map[string]any{"language": "qps", "name": "§", "decimal": ",", "date": "DD.MM.YYYY", "texts": signs})
	require.NoError(t, err)
	known := map[string]bool{"SHS": true, "RHS": true, "CHS": true, "MPa": true, "kPa": true}
	for _, n := range []int{0, 1, 2, 5, 6, 7, 9} {
		d := site(t, n)
		demo.Translate(&d.Survey, func(string) string { return "§" }) // what a person typed stands as it was typed
		d.Survey.Site = survey.Site{Name: "12"}
		for _, r := range sheets.Readers() {
			o := orderOf(t, d, string(r))
			o.Words, o.Prices, o.Revision = language, true, "1"
			pdf, err := Print(o)
			require.NoError(t, err)
			texts := textsOf(t, pdf)
			require.Greater(t, len(texts), 10, "the search finds what is shown")
			left := map[string]bool{}
			for _, text := range texts {
				for _, word := range plain.FindAllString(text, -1) {
					if !known[word] {
						left[text] = true
					}
				}
			}
			assert.Empty(t, slices.Sorted(maps.Keys(left)), "site %d, %s", n+1, r)
		}
	}
}
