package press

import (
	"bytes"
	"compress/zlib"
	"encoding/json"
	"io"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/words/gather"
	"pegpour/engine/sheets"
	"pegpour/engine/survey"
	"pegpour/engine/words"
	"pegpour/storage/demo"
)

var (
	streamed = regexp.MustCompile(`(?s)stream\r?\n(.*?)endstream`)
	shown    = regexp.MustCompile(`\(((?:[^()\\]|\\.)*)\) ?Tj`)
	hole     = regexp.MustCompile(`\{\d+\}`)
	plain    = regexp.MustCompile(`[A-Za-z]{3,}`)
)

// textsOf are the texts that a document shows.
func textsOf(t *testing.T, pdf []byte) []string {
	t.Helper()
	var texts []string
	for _, m := range streamed.FindAllSubmatch(pdf, -1) {
		r, err := zlib.NewReader(bytes.NewReader(m[1]))
		if err != nil {
			continue // a font or a picture
		}
		content, _ := io.ReadAll(r)
		for _, s := range shown.FindAllSubmatch(content, -1) {
			texts = append(texts, string(s[1]))
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
