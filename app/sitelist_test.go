package app

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"pegpour/storage"
)

func TestSitesAreFoundByEveryWord(t *testing.T) {
	var l siteList
	for i := range 100 {
		l.sites = append(l.sites, newSiteLine(storage.Summary{ID: strconv.Itoa(i), Name: "Gate " + strconv.Itoa(i), Address: "Long Road " + strconv.Itoa(i%10), Client: "Sample"}, ""))
	}
	places, more := l.shown()
	assert.Len(t, places, listStep)
	assert.Equal(t, 100-listStep, more)
	l.most = 2 * listStep
	places, more = l.shown()
	assert.Len(t, places, 2*listStep)
	assert.Equal(t, 100-2*listStep, more)

	for query, want := range map[string]int{"": 100, "  ": 100, "LONG": 100, "road 7": 19, "gate 42": 1, "sample gate 42 road": 1, "nowhere": 0} {
		l.query = query
		assert.Len(t, l.matches(), want, "%q", query)
	}
}
