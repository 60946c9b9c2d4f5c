package sheets

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// The labourer reads neither what was agreed nor a signature as it is kept.
func TestTheLabourerReadsNoPrices(t *testing.T) {
	s := site()
	s.Quote.Agreed = []survey.Agreement{{Owner: "R. Abel", Sign: "1,1 250,80", On: "2026-02-03T10:00:00Z", Total: "4819.50",
		Lines: "rate.motor\tMotor\t1\t\t4819.50", State: "8c1f"}}
	s.Build.HandOver.FitterSign = "2,2 240,70"
	rules := practice.DefaultPractice()
	made, err := engine.Design(s, rules)
	require.NoError(t, err)
	page, err := Large(Issue{Plan: &made, Survey: &s, Practice: &rules, Units: "mm",
		Date: time.Date(2026, 3, 14, 9, 0, 0, 0, time.UTC)})
	require.NoError(t, err)
	for _, kept := range []string{"4819.50", "R. Abel", "1,1 250,80", "2,2 240,70", "rate.motor"} {
		assert.NotContains(t, wordsOf(t, page), kept)
	}
	assert.Contains(t, wordsOf(t, page), "What was measured")
}
