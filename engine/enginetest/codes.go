package enginetest

import (
	"math/rand/v2"
	"regexp"
	"slices"

	"pegpour/engine/survey"
)

// RandomSites are so many surveys of every kind that is drawn by chance here.
func RandomSites(n int) []survey.Survey {
	kinds := [...]func(*rand.Rand) survey.Survey{RandomGroundSite, RandomSurvey, RandomFallingSite, RandomLeafSite, RandomSite,
		RandomHangingSite}
	all := make([]survey.Survey, n)
	for i := range all {
		all[i] = kinds[i%len(kinds)](rand.New(rand.NewPCG(uint64(i), 31)))
	}
	return all
}

// code is how documents name a question, a figure, a rule or a field: words with
// points between. A text for people has them only in the address or the file of a source.
var (
	code    = regexp.MustCompile(`\b[a-z][A-Za-z]*\.[a-z][A-Za-z]*(?:\.(?:[a-z][A-Za-z]*|\d+))*`)
	address = regexp.MustCompile(`\.(?:com|org|edu|community|nu|json)$`)
	blank   = regexp.MustCompile(`\{\d+\}|%!|\bNaN\b|\bInf\b`)
)

// Codes are what in a text for people looks like a code or a path of a document, and
// what was left blank or is no number.
func Codes(text string) []string {
	found := slices.DeleteFunc(code.FindAllString(text, -1), address.MatchString)
	return append(found, blank.FindAllString(text, -1)...)
}
