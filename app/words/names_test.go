package words

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/draw/pdf/pdftest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/sheets"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage/demo"
)

// What a person typed is shown as typed, though it reads like a text of the
// catalogue.
func TestTypedNamesStayAsTyped(t *testing.T) {
	german, err := Read("de")
	require.NoError(t, err)
	for _, typed := range []string{"Motor", "Stop", "Footing post 2"} {
		rules, found := practice.DefaultPractice(), 0
		for _, site := range demo.Sites() {
			s := site.Survey
			for i := range s.RunBack.Obstructions {
				s.RunBack.Obstructions[i].Name = typed
			}
			if len(s.RunBack.Obstructions) == 0 {
				continue
			}
			made, err := engine.Design(s, rules)
			require.NoError(t, err)
			for i := range made.Site.Obstructions {
				found++
				assert.Equal(t, typed, plan.NameOfObstruction(&made.Site.Obstructions[i]).In(german.Say))
			}
			pages, err := sheets.For(sheets.ForLabourer, sheets.Issue{Plan: &made, Survey: &s, Practice: &rules,
				Date: time.Date(2025, 3, 14, 9, 0, 0, 0, time.UTC), Units: "mm", Language: german})
			require.NoError(t, err)
			shown, err := pdftest.Words(pages)
			require.NoError(t, err)
			assert.Contains(t, "\n"+shown, "\n"+typed+"\n")
		}
		assert.Positive(t, found)
	}
}

// Every name that the engine makes of a format is of the catalogue.
func TestMadeNamesAreSaid(t *testing.T) {
	german, err := Read("de")
	require.NoError(t, err)
	rules, seen := practice.DefaultPractice(), 0
	for _, site := range demo.Sites() {
		made, err := engine.Design(site.Survey, rules)
		require.NoError(t, err)
		said := func(n text.Name) {
			seen++
			n.In(func(english string) string {
				if len(english) > 3 && english[0] >= 'A' && english[0] <= 'Z' && (english[1] < 'A' || english[1] > 'Z') {
					assert.True(t, german.Has(english), english)
				}
				return german.Say(english)
			})
		}
		for i := range made.Outlines {
			said(made.Outlines[i].Name)
		}
		for i := range made.Pegs {
			said(made.Pegs[i].Name)
		}
		for i := range made.Figures {
			said(made.Figures[i].Name)
		}
		for i := range made.Steel.Cuts {
			said(made.Steel.Cuts[i].Mark)
		}
		for _, f := range survey.Fields(&site.Survey) {
			said(f.Name)
		}
	}
	assert.Greater(t, seen, 500)
}
