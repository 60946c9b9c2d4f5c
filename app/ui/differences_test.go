package ui

import (
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/language"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/demo"
)

func TestASideOfADifferenceIsWrittenForAPerson(t *testing.T) {
	w := siteOf(t, demo.Sites()[0].Survey)
	panels := survey.FieldOf(survey.GatePanels)
	for _, c := range []struct{ field, raw, want string }{
		{survey.OpeningWidth, `{"size":3204,"how":"laser","text":"3.204 m"}`, "3204\u00a0mm, laser"},
		{survey.OpeningWidth, `{}`, "nothing"},
		{survey.OpeningWidth, ``, "nothing"},
		{survey.GatePanels, `"` + panels.Options[1].Value + `"`, panels.Options[1].Words},
		{survey.SiteName, `"Long Road"`, "“Long Road”"},
		{"", `{"note":"by the tree"}`, "“by the tree”"},
		{"", `{"name":"Tank","kind":"pit"}`, "“Tank”"},
		{"", `true`, "yes"},
		{"", `false`, "no"},
		{"", `12`, "12"},
		{"", `[1,2,3,4,5,6,7,8,9,10,11,12,13,14,15,16,17,18,19,20,21,22,23,24,25]`, "something"},
	} {
		assert.Contains(t, RawWords(w, c.field, []byte(c.raw)), c.want, "%s %s", c.field, c.raw)
	}
}

func TestAPlaceInTheDocumentHasAName(t *testing.T) {
	l := &language.Speaker{}
	assert.Equal(t, survey.OpeningWidth, FieldOfPath("/survey/opening/width"))
	assert.Equal(t, string(survey.ObstructionKind.At(0)), FieldOfPath("/survey/runBack/obstructions/@abc/kind"))
	assert.Empty(t, FieldOfPath("/photos/@abc"))
	width := survey.FieldOf(survey.OpeningWidth)
	assert.Equal(t, width.Name.String(), DifferenceName(l, storage.Difference{Field: survey.OpeningWidth}))
	for path, want := range map[string]string{"/photos/@a": "Photo", "/notes/@a": "Note",
		"/ticks/peg.1":          "Ticked off on site",
		"/drafts/opening.width": "Typed, and not read"} {
		assert.Equal(t, want, DifferenceName(l, storage.Difference{Path: path}))
	}
	r, _ := practice.RuleByKey(practice.RuleStripWidth)
	assert.Equal(t, r.Name.String(), DifferenceName(l, storage.Difference{Path: "/practice/strip.width"}))
	assert.Equal(t, "Left", DifferenceName(l, storage.Difference{Path: "/unheard-of", Name: "Left"}))
	assert.Equal(t, width.Name.String(), ConflictName(l, storage.Conflict{Path: "/survey/opening/width"}, survey.OpeningWidth))
	assert.Equal(t, "unheard-of", ConflictName(l, storage.Conflict{Path: "/unheard-of"}, ""))
}

func TestDifferencesAreListed(t *testing.T) {
	w := siteOf(t, demo.Sites()[0].Survey)
	before := w.Doc
	assert.Contains(t, app.HTMLString(DifferenceList(w, before, before)), "Nothing that one measures")
	e, err := storage.SetValue(before, survey.OpeningWidth, survey.Measured(4321, survey.ByTape))
	require.NoError(t, err)
	after, err := storage.Apply(before, e)
	require.NoError(t, err)
	list := app.HTMLString(DifferenceList(w, before, after))
	assert.Contains(t, list, "4321")
	assert.Contains(t, list, "→")
}

func TestADemoSitesNameGoesWithoutTheMark(t *testing.T) {
	l := &language.Speaker{}
	assert.Equal(t, "angled drive", HeadName(l, "Demo: angled drive", true))
	assert.Equal(t, "Demo: angled drive", HeadName(l, "Demo: angled drive", false),
		"somebody's own is called what they like")
	assert.Equal(t, "Mill: back gate", HeadName(l, "Mill: back gate", true))
	assert.Equal(t, "New site", HeadName(l, "", false))
	assert.NotEqual(t, HeadClass(true), HeadClass(false))
}

func TestTheNumberBoxSaysWhatItKnows(t *testing.T) {
	w := siteOf(t, demo.Sites()[0].Survey)
	f := survey.FieldOf(survey.OpeningWidth)
	w.Ask(f.Path)
	box := app.HTMLString(NumberBox(w, f, nil, nil))
	for _, part := range []string{`id="entry"`, `data-entry="opening.width"`, `data-key="next"`, `data-types="7"`,
		`class="unit"`, `aria-invalid="false"`} {
		assert.Contains(t, box, part)
	}
	assert.NotContains(t, box, `id="entry-says" class="says error"`)
	slope := survey.FieldOf(survey.GroundLevelsAlong)
	assert.Contains(t, app.HTMLString(NumberBox(w, slope, nil, nil)), `data-types="1:"`, "a slope has keys of its own")
}
