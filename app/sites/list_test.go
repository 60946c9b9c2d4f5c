package sites

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"pegpour/storage"
)

func TestSitesAreFoundByEveryWord(t *testing.T) {
	var l List
	for i := range 100 {
		l.Sites = append(l.Sites,
			newLine(storage.Summary{ID: strconv.Itoa(i), Name: "Gate " + strconv.Itoa(i),
				Address: "Long Road " + strconv.Itoa(i%10), Client: "Sample"}, kept{}))
	}
	places, more := l.Shown()
	assert.Len(t, places, Step)
	assert.Equal(t, 100-Step, more)
	l.most = 2 * Step
	places, more = l.Shown()
	assert.Len(t, places, 2*Step)
	assert.Equal(t, 100-2*Step, more)

	for query, want := range map[string]int{"": 100, "  ": 100, "LONG": 100, "road 7": 19, "gate 42": 1,
		"sample gate 42 road": 1, "nowhere": 0} {
		l.Query = query
		assert.Len(t, l.matches(), want, "%q", query)
	}
}
