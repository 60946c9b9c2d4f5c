package keeping

import (
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"

	"pegpour/app/language"
	"pegpour/engine/refusal"
	"pegpour/storage"
	"pegpour/storage/replication"
)

// A back-up that is looked at says what restoring it would write.
func TestWhatRestoringWouldWriteIsCounted(t *testing.T) {
	item := func(id, name string, o storage.RestoreOutcome) storage.RestoreItem {
		return storage.RestoreItem{ID: id, Name: name, Outcome: o}
	}
	r := Restoring{Report: &storage.RestoreReport{NewPhotos: 2, Items: []storage.RestoreItem{
		item("a", "New one", storage.RestoreNew), item("b", "", storage.RestoreNew),
		item("c", "Older", storage.RestoreOlder), item("d", "Same", storage.RestoreSame),
		item("e", "Newer", storage.RestoreNewer), item("f", "Apart", storage.RestoreConflict),
		item("g", "", storage.RestoreDamaged), item(storage.ShopID, "", storage.RestoreSame),
	}}}
	assert.Equal(t, 5+2, r.changes(), "what stays as it is does not count")
	l := &language.Speaker{}
	assert.Equal(t, []string{"New one", "New site"}, r.namesOf(l, storage.RestoreNew))
	assert.Equal(t, []string{"Same", "Shop rules"}, r.namesOf(l, storage.RestoreSame))
	assert.Equal(t, []string{"g"}, r.namesOf(l, storage.RestoreDamaged), "what cannot be read is named by its identity")
	r.Report = &storage.RestoreReport{Items: []storage.RestoreItem{item("a", "Same", storage.RestoreSame)}}
	assert.Zero(t, r.changes())
	assert.False(t, r.undecided())
	shop := item(storage.ShopID, "", storage.RestoreJoined)
	shop.Differ = 2
	r.Report.Items = append(r.Report.Items, shop)
	assert.Equal(t, 1, r.changes())
	assert.True(t, r.undecided(), "which rules hold is chosen before anything is restored")
	r.rules = storage.TakeFile
	assert.False(t, r.undecided())
}

// Every outcome is listed, once.
func TestEveryOutcomeOfARestoreIsListed(t *testing.T) {
	listed := map[storage.RestoreOutcome]int{}
	for _, o := range restoreOutcomes {
		listed[o.outcome]++
		assert.NotEmpty(t, o.does)
	}
	for _, o := range []storage.RestoreOutcome{storage.RestoreNew, storage.RestoreNewer, storage.RestoreConflict,
		storage.RestoreOlder, storage.RestoreSame, storage.RestoreJoined, storage.RestoreMerged, storage.RestoreDamaged, storage.RestoreTooNew} {
		assert.Equal(t, 1, listed[o], o)
	}
}

func TestPhotosOfABackUpAreCounted(t *testing.T) {
	l := &language.Speaker{}
	assert.Equal(t, "The file holds no photos.", photoCount(l, &storage.RestoreReport{}))
	assert.Equal(t, "The file holds one photo; not here: 1.",
		photoCount(l, &storage.RestoreReport{Photos: 1, NewPhotos: 1}))
	assert.Equal(t, "The file holds 5 photos; not here: 0.", photoCount(l, &storage.RestoreReport{Photos: 5}))
	assert.Empty(t, moreNames(l, 0))
	assert.Equal(t, ", and one more", moreNames(l, 1))
	assert.Equal(t, ", and 4 more", moreNames(l, 4))
}

func TestWhyAFileIsNotReadIsSaid(t *testing.T) {
	l := &language.Speaker{}
	assert.Equal(t, "cut short", readingWords(l, &storage.BackUpError{Reason: refusal.Say("cut short")}))
	assert.Equal(t, "this device has no room left.", readingWords(l, storage.ErrFull))
	assert.NotEmpty(t, readingWords(l, storage.ErrClosed))
}

// A back-up's record names what it holds; it is read back as it was written.
func TestTheRecordOfABackUpIsReadBack(t *testing.T) {
	for _, b := range []backUp{
		{at: "2026-01-02T10:00:00Z", holds: map[string]storage.Revision{}},
		{at: "2026-01-02T10:00:00Z", holds: map[string]storage.Revision{"a": "1", "b": "2"}},
	} {
		assert.Equal(t, b, readBackUp(b.record()))
	}
	assert.Empty(t, readBackUp(nil).at)
	assert.Empty(t, readBackUp([]byte("2026\nbroken")).holds)
}

// How things stand is found out from the store, and said.
func TestHowSafeThingsAreIsFoundOut(t *testing.T) {
	s := openSafety(t)
	s.Show(s.stage)
	s.stage.Until("the list and the room are known", func() bool { return s.Listed && s.roomKnown && s.Waiting() == 0 })
	assert.Equal(t, 2, s.Alone, "the demo site is nobody's")
	assert.Equal(t, "no back-up yet", s.backUpWords())
	assert.False(t, s.nearlyFull())

	made := backUp{at: "2026-01-02T10:00:00Z", holds: map[string]storage.Revision{}}
	for i := range s.Sites {
		made.holds[s.Sites[i].ID] = s.Sites[i].Revision
	}
	assert.NoError(t, s.Store.KeepExchanged(t.Context(), nil, []storage.Record{{Key: keyBackUp, Value: made.record()}}))
	s.ReadRoom()
	s.stage.Until("the back-up is known", func() bool { return s.lastBackUp.at != "" })
	assert.Zero(t, s.Alone)
	assert.Contains(t, s.lastBackUpSentence(), "2026-01-02")

	s.room = storage.Estimate{Used: 91, Quota: 100}
	assert.True(t, s.nearlyFull())
	s.room = storage.Estimate{Used: 91}
	assert.False(t, s.nearlyFull(), "where the browser does not say how much there is")
}

func TestTheNudgeComesWithTheThirdSite(t *testing.T) {
	s := newSafety(t)
	for alone, want := range map[int]bool{0: false, 2: false, 3: true, 9: true} {
		s.Alone, s.Link.Known = alone, true
		assert.Equal(t, want, contains(s.Nudge(), `id="nudge"`), alone)
		s.Link.Known = false
		assert.False(t, contains(s.Nudge(), `id="nudge"`), "not before it is known what is in the yard")
	}
}

func TestWhyASiteIsNotInTheYardIsSaid(t *testing.T) {
	s := newSafety(t)
	w := s.Link
	for want, status := range map[string]replication.SiteStatus{
		"Changed since it was sent.":                {State: replication.Waiting},
		"Never sent yet.":                           {State: replication.Waiting, Never: true},
		"Changed since it was sent. 2 photos wait.": {State: replication.Waiting, Photos: 2},
		"One photo waits.":                          {State: replication.InYard, Photos: 1},
		"The yard does not take this site: too old": {State: replication.Refused, Reason: refusal.Say("too old")},
		"One photo waits. The yard does not take a photo: x": {State: replication.InYard, Photos: 1,
			PhotoReason: refusal.Say("x")},
	} {
		assert.Equal(t, want, waitingWords(w, status))
	}
	l := w.Speaker
	assert.Equal(t, "Everything is chosen.", chosenWords(l, 0))
	assert.Equal(t, "One field is still to be chosen.", chosenWords(l, 1))
	assert.Equal(t, "Kept", keepWords(l, true, true))
	assert.NotEqual(t, keepWords(l, true, false), keepWords(l, false, false))
	assert.Equal(t, "2026", theirTime(replication.Contest{TheirsChanged: "2026", Received: "2027"}))
	assert.Equal(t, "2027", theirTime(replication.Contest{Received: "2027"}))
}

// A back-up that is not whole says on the screen what of it is left out, offers the
// rest, and restores it.
func TestAFaultyBackUpIsTold(t *testing.T) {
	b := openSafety(t)
	s := NewSafeScreen(b.Safety).(*safeScreen)
	r := &s.restoring
	r.Name, r.fault = "phone.pegpour-backup", readingWords(s.w.Speaker, &storage.BackUpError{Line: 7, Reason: refusal.Say("a part of it cannot be read")})
	r.Report = &storage.RestoreReport{Made: "2026-05-01T10:00:00Z", Photos: 3, NewPhotos: 1, Unread: 2, DamagedPhotos: 1,
		LostPhotosOf: []string{"Lane 12"}, Items: []storage.RestoreItem{
			{ID: "a", Name: "Lane 12", Outcome: storage.RestoreNew}, {ID: "b", Name: "Mill", Outcome: storage.RestoreTooNew}}}
	markup := app.HTMLString(s.restore())
	for _, want := range []string{
		"phone.pegpour-backup: a part of it cannot be read", "2 entries of the file cannot be read and are left out.",
		"One photo of the file is damaged and is left out.", "missing at: Lane 12.", "One was written by a newer version", "Mill",
		"Restore what can be read",
	} {
		assert.Contains(t, markup, want)
	}
	r.Report = &storage.RestoreReport{Complete: true, Items: r.Report.Items[:1]}
	r.fault = ""
	assert.NotContains(t, app.HTMLString(s.restore()), "left out")
}
