package sheets

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/tables"
	"pegpour/engine/text"
	"pegpour/storage/demo"
)

// No sheet and no table of any site shows the code of a question, a figure, a rule
// or a field: every demo site for every reader, sites drawn by chance for one in turn, where
// they hold a check or a figure that was on none of that reader's sheets; all with
// PEGPOUR_DRAWN.
func TestNoSheetOrTableShowsACode(t *testing.T) {
	var sites []survey.Survey
	for _, d := range demo.Sites() {
		sites = append(sites, d.Survey)
	}
	demos := len(sites)
	sites = append(sites, enginetest.RandomSites(300)...)
	clean := func(n int, of, text string) {
		assert.Empty(t, enginetest.Codes(text), "site %d, %s", n, of)
	}
	table := func(n int, of string, rows [][]string) {
		for _, row := range rows {
			clean(n, of, strings.Join(row, "\n"))
		}
	}
	refused, printed := 0, 0
	known := map[string]bool{}
	for n, s := range sites {
		practice := practice.DefaultPractice()
		made, _ := engine.Design(s, practice)
		i := Issue{Plan: &made, Survey: &s, Practice: &practice, Units: "mm", Plain: true,
			Date: time.Date(2025, 3, 14, 9, 0, 0, 0, time.UTC)}
		for k, r := range Readers() {
			if n < demos || n%len(Readers()) == k {
				if fresh := newTo(known, r, &made); !fresh && n >= demos && os.Getenv("PEGPOUR_DRAWN") == "" {
					continue
				}
				printed++
				out, err := For(r, i)
				if err != nil { // said on the screen instead
					clean(n, string(r), err.Error())
					refused++
					continue
				}
				clean(n, string(r), wordsOf(t, out))
			}
		}
		table(n, "quantities", tables.English(tables.Quantities(&made)))
		table(n, "levels", tables.English(tables.Levels(&made)))
		table(n, "steel", tables.Steel(&made, false))
		for _, stage := range tables.PourChecklist(&made, &practice) {
			for _, item := range stage.Items {
				clean(n, "checklist", item.Words.String())
			}
		}
	}
	assert.LessOrEqual(t, refused, 3) // edges of a drive that cross before the house are not drawn
	t.Logf("%d sheets, %d checks and figures on them", printed, len(known))
	assert.Greater(t, printed, 150)
}

// newTo reports whether a plan has a check, as bad, of the same question and field, or a figure
// that is not known from a reader's sheets, and makes all that it has known.
func newTo(known map[string]bool, r Reader, made *plan.Plan) (some bool) {
	before := len(known)
	for _, c := range made.Checks {
		known[fmt.Sprint(r, c.Code, c.Severity, c.Question, c.Field)] = true
	}
	for _, f := range made.Figures {
		known[fmt.Sprint(r, f.ID)] = true
	}
	return len(known) > before
}

// What the test above looks for is what documents hold, and not a number or the end
// of a sentence.
func TestCodesAreTold(t *testing.T) {
	s := site()
	practice := practice.DefaultPractice()
	made, err := engine.Design(s, practice)
	require.NoError(t, err)
	for _, c := range made.Checks {
		assert.Equal(t, []string{c.Code}, enginetest.Codes("Mind ("+c.Code+")."))
	}
	for _, f := range made.Figures {
		assert.Equal(t, []string{f.ID}, enginetest.Codes(f.ID+": "+f.Name.String()))
	}
	for _, f := range survey.Fields(&s) {
		if strings.Contains(f.Path, ".") {
			assert.Equal(t, []string{f.Path}, enginetest.Codes("at "+f.Path+" ."))
		}
	}
	for _, plain := range []string{"Sure: 5.2 mm to spare.", "m·v²/d, 0.5.", "from 0.613 v². The", text.MM(3).Words.String()} {
		assert.Empty(t, enginetest.Codes(plain))
	}
}
