package app

import (
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"pegpour/storage"
	"pegpour/storage/replication"
)

func TestTallySaysHowMuchIsNotInTheYard(t *testing.T) {
	for _, c := range []struct {
		sites, photos int
		want          string
	}{
		{1, 0, "One site is not yet in the yard"},
		{3, 0, "3 sites are not yet in the yard"},
		{0, 1, "One photo is not yet in the yard"},
		{0, 4, "4 photos are not yet in the yard"},
		{1, 1, "One site and one photo are not yet in the yard"},
		{2, 1, "2 sites and one photo are not yet in the yard"},
		{1, 5, "One site and 5 photos are not yet in the yard"},
		{2, 5, "2 sites and 5 photos are not yet in the yard"},
	} {
		assert.Equal(t, c.want, sitesAndPhotos(c.sites, c.photos))
	}
	w := newWorkspace()
	assert.Empty(t, w.tallyWords(), "nothing is said before it is known")
	w.statused = true
	assert.Contains(t, w.tallyWords(), "No yard")
	w.status.Paired = true
	assert.Equal(t, "Everything is in the yard", w.tallyWords())
	w.status.Conflicts = 1
	assert.Contains(t, w.tallyWords(), "two versions")
	w.status.Waiting = 1
	assert.Equal(t, "One site is not yet in the yard", w.tallyWords())
	w.line.Shut = true
	assert.Contains(t, w.tallyWords(), "does not let this device in")
}

// What is in a back-up or in the yard is safe; a site for show is nobody's.
func TestOnlyWhatIsNowhereElseIsCounted(t *testing.T) {
	w := newWorkspace()
	site := func(id string, revision storage.Revision) siteLine {
		return newSiteLine(storage.Summary{ID: id, Revision: revision}, "")
	}
	w.sites = []siteLine{site("a", "1"), site("b", "2"), site("c", ""), newSiteLine(storage.Summary{ID: "d", Revision: "4", Demo: true}, "")}
	w.countAlone()
	assert.Equal(t, 3, w.alone)
	w.lastBackUp = readBackUp(backUp{at: "2026-01-02T10:00:00Z", holds: map[string]storage.Revision{"a": "1", "b": "1"}}.record())
	w.countAlone()
	assert.Equal(t, 2, w.alone, "a is in the back-up, b was changed since, of c nothing is known")
	assert.Contains(t, w.lastBackUpSentence(), "2026-01-02")
	w.lastBackUp = readBackUp([]byte("2026-01-02T10:00:00Z")) // without the sites it holds
	w.countAlone()
	assert.Equal(t, 3, w.alone)
	w.lastBackUp = readBackUp(backUp{at: "2026-01-02T10:00:00Z", holds: map[string]storage.Revision{"a": "1"}}.record())
	w.statused = true
	w.status = replication.Status{Paired: true, Sites: map[string]replication.SiteStatus{
		"a": {State: replication.Waiting}, "b": {State: replication.InYard}, "c": {State: replication.InYard, Photos: 1},
	}}
	w.countAlone()
	assert.Equal(t, 1, w.alone, "b is in the yard, c but for a photo")
}

func TestTheLineIsToldInPlainWords(t *testing.T) {
	at := time.Date(2026, 1, 1, 12, 0, 0, 0, time.UTC)
	l := lineOf(replication.Line{Error: errors.New("TypeError: x"), NextTry: at, LastGood: at, Now: replication.Progress{Photo: "p", Done: 3, Total: 9}})
	assert.Equal(t, "The yard is not reachable: no signal, or it is not running.", l.Words)
	assert.Equal(t, "2026-01-01T12:00:00Z", l.Next)
	assert.False(t, l.Shut)
	assert.Equal(t, int64(9), l.Total)
	assert.True(t, lineOf(replication.Line{Error: replication.ErrUnpaired}).Shut)
	assert.Equal(t, "Next try in 30 seconds.", inWords(at.Add(30*time.Second), at))
	assert.Equal(t, "Next try in 5 minutes.", inWords(at.Add(5*time.Minute), at))
	assert.Equal(t, "It is being tried now.", inWords(at, at))
	assert.Equal(t, "999 bytes", sizeWords(999))
	assert.Equal(t, "12 kB", sizeWords(12_345))
	assert.Equal(t, "1.2 MB", sizeWords(1_234_567))
	assert.Equal(t, "10.7 GB", sizeWords(10_737_418_240))
}
