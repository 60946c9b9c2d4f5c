package sites

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/progress"
	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/demo"
)

func TestHowFarASiteIs(t *testing.T) {
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Survey.Site.Name = "Lane 12"
	assert.Equal(t, "0", FarOf(d), "a name is no answer")
	d.Survey.Opening.Width = survey.Measured(4000, survey.ByTape)
	assert.Equal(t, "1", FarOf(d))
	d.Ticks = map[string]bool{"peg.3": true, "nothing in the way": true}
	at := func(step progress.Step) string { return FarStep + strconv.Itoa(int(step)) }
	assert.Equal(t, at(progress.Pegged), FarOf(d))
	d.Ticks["pour.mesh"] = true
	assert.Equal(t, at(progress.Formed), FarOf(d))
	d.Ticks["pour.mesh"] = false
	assert.Equal(t, at(progress.Pegged), FarOf(d))
}

// A new site into which nothing was put goes when one comes back to the list; one
// that holds anything stays.
func TestAnUntouchedNewSiteGoesByItself(t *testing.T) {
	s := openShelf(t, &storage.Memory{})
	made := func() string {
		t.Helper()
		s.Visited = nil
		s.NewSite(s.Stage)
		s.Until("it is in hand", func() bool { return len(s.Visited) == 1 && s.Waiting() == 0 })
		return s.site.Doc.ID
	}
	back := func() {
		s.read(&leaving{s.made, s.WaitsOf(), s.site.Doc})
		s.settled()
	}
	made()
	s.Read() // for another reason: nobody left it
	s.settled()
	require.True(t, s.HasOwn())
	back()
	assert.False(t, s.HasOwn())
	assert.Empty(t, s.Away, "nor is it put away")
	assert.Nil(t, s.site.Doc)

	id := made()
	f, ok := survey.FieldAt(survey.SiteName)
	require.True(t, ok)
	s.site.TypeWords(s.Stage, f, "L")
	back()
	require.True(t, s.HasOwn())
	assert.Equal(t, id, s.Sites[0].ID)

	// One letter typed and taken away again: somebody was there, and undo has it.
	id = made()
	e, err := storage.SetValue(s.site.Doc, survey.OpeningWidth, survey.Measured(4000, survey.ByTape))
	s.site.Commit(s.Stage, e, err)
	s.Until("it is kept", func() bool { return s.Waiting() == 0 })
	_, err = s.Store.Undo(t.Context(), id)
	require.NoError(t, err)
	back()
	loaded, err := s.Store.Load(t.Context(), id)
	require.NoError(t, err)
	assert.True(t, untouched(loaded.Document))

	// What cannot be stored yet is something, though the store has nothing of it.
	id = made()
	read := leaving{s.made, map[string]bool{id: true}, nil}
	s.read(&read)
	s.settled()
	_, err = s.Store.Load(t.Context(), id)
	assert.NoError(t, err)
	// And so is what was sent.
	sent := []storage.Record{{Key: storage.ExchangedSite + id, Value: []byte("{}")}}
	require.NoError(t, s.Store.KeepExchanged(t.Context(), nil, sent))
	s.read(&leaving{id, nil, nil})
	s.settled()
	_, err = s.Store.Load(t.Context(), id)
	assert.NoError(t, err)

	// Another tab may just have made one.
	d := storage.NewDocument("2999-01-01T00:00:00Z")
	_, err = s.Store.Create(t.Context(), d)
	require.NoError(t, err)
	old := storage.NewDocument("2020-01-01T00:00:00Z")
	_, err = s.Store.Create(t.Context(), old)
	require.NoError(t, err)
	back()
	_, err = s.Store.Load(t.Context(), d.ID)
	assert.NoError(t, err)
	_, err = s.Store.Load(t.Context(), old.ID)
	assert.ErrorIs(t, err, storage.ErrNotFound)
}

func TestDemosStandBehindOnesOwnSites(t *testing.T) {
	s := openShelf(t, &storage.Memory{})
	d := storage.NewDocument("2020-01-01T00:00:00Z") // changed before the demos came
	d.Survey.Site.Name = "Mine"
	_, err := s.Store.Create(t.Context(), d)
	require.NoError(t, err)
	s.Read()
	s.settled()
	require.Len(t, s.Sites, len(demo.Sites())+1)
	assert.Equal(t, "Mine", s.Sites[0].Name)
	assert.Equal(t, "0", s.Sites[0].Far)
}
