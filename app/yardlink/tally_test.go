package yardlink

import (
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"pegpour/app/editing"
	"pegpour/app/language"
	"pegpour/app/turns"
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
		assert.Equal(t, c.want, SitesAndPhotos(&language.Speaker{}, c.sites, c.photos))
	}
	w := New(editing.NewDevice(&turns.Turns{}, &language.Speaker{}, nil), nil)
	assert.Empty(t, w.TallyWords(), "nothing is said before it is known")
	w.Known = true
	assert.Contains(t, w.TallyWords(), "No yard")
	w.Status.Paired = true
	assert.Equal(t, "Everything is in the yard", w.TallyWords())
	w.Status.Conflicts = 1
	assert.Contains(t, w.TallyWords(), "two versions")
	w.Status.Waiting = 1
	assert.Equal(t, "One site is not yet in the yard", w.TallyWords())
	w.Line.Shut = true
	assert.Contains(t, w.TallyWords(), "does not let this device in")
}

func TestTheLineIsToldInPlainWords(t *testing.T) {
	at := time.Date(2026, 1, 1, 12, 0, 0, 0, time.UTC)
	device := editing.NewDevice(&turns.Turns{}, &language.Speaker{}, nil)
	link := New(device, nil)
	l := link.lineOf(replication.Line{Error: errors.New("TypeError: x"), NextTry: at, LastGood: at,
		Now: replication.Progress{Photo: "p", Done: 3, Total: 9}})
	assert.Equal(t, "The yard is not reachable: no signal, or it is not running.", l.Words)
	assert.Equal(t, "2026-01-01T12:00:00Z", l.Next)
	assert.False(t, l.Shut)
	assert.Equal(t, int64(9), l.Total)
	assert.Equal(t, "device-sites 93", link.lineOf(replication.Line{Full: "device-sites 93"}).Full)
	assert.Contains(t, FullWords(device.Speaker, "device-sites 93"), "has used 93 %")
	assert.Contains(t, FullWords(device.Speaker, "yard-megabytes 100"), "is 100 % full")
	assert.Empty(t, FullWords(device.Speaker, ""))
	assert.Empty(t, FullWords(device.Speaker, "of a later yard 91"))
	assert.True(t, link.lineOf(replication.Line{Error: replication.ErrUnpaired}).Shut)
	assert.Equal(t, "Next try in 30 seconds.", InWords(device.Speaker, at.Add(30*time.Second), at))
	assert.Equal(t, "Next try in 5 minutes.", InWords(device.Speaker, at.Add(5*time.Minute), at))
	assert.Equal(t, "It is being tried now.", InWords(device.Speaker, at, at))
	assert.Equal(t, "999 bytes", device.ByteCount(999))
	assert.Equal(t, "12 kB", device.ByteCount(12_345))
	assert.Equal(t, "1.2 MB", device.ByteCount(1_234_567))
	assert.Equal(t, "10.7 GB", device.ByteCount(10_737_418_240))
}
