package engine

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"

	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
	"pegpour/engine/tables"
)

// One of a thing is never written in the plural: in checks, formulas, the pour
// day's list and the table of quantities.
func TestOneThingIsNotSaidInThePlural(t *testing.T) {
	plural := regexp.MustCompile(`(^|[^0-9.,×÷] )1 (trailer loads|loads|batches|bags|places|spans|set-ups|pieces|joints|panels|anchors)\b`)
	shop := practice.DefaultPractice()
	ones := 0
	look := func(words string) { assert.NotRegexp(t, plural, words) }
	for _, s := range append(enginetest.RandomSites(30), enginetest.SquareSite(), enginetest.FallingSite()) {
		made, _ := Design(s, shop)
		for i := range made.Checks {
			look(made.Checks[i].What.String())
		}
		for i := range made.Figures {
			look(made.Figures[i].How.String())
		}
		for _, stage := range tables.PourChecklist(&made, &shop) {
			for _, item := range stage.Items {
				look(item.Words.String())
			}
		}
		for _, row := range tables.English(tables.Quantities(&made)) {
			if row[1] == "1" {
				ones++
			}
			look(row[1] + " " + row[2])
		}
	}
	assert.Positive(t, ones, "some site has one of something")
}
