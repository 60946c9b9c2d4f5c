package storage

import (
	"encoding/json"
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/input"
	"pegpour/engine/survey"
)

// netted is a site with pegs A, B, C, tapes AB, BC, CA and a photo in which B
// was pointed at.
func netted(t *testing.T) *Document {
	t.Helper()
	d := NewDocument("2026-01-02T03:04:05Z")
	for _, name := range []string{"A", "B", "C"} {
		d = made(t, d)(AddEntry(d, "peg", survey.NetworkPegs,
			survey.NetworkPeg{Name: name, Along: survey.Measured(100, survey.ByEstimate)}))
	}
	for _, pair := range [][2]string{{"A", "B"}, {"B", "C"}, {"C", "A"}} {
		d = made(t, d)(AddEntry(d, "tape", survey.NetworkTapes,
			survey.NetworkTape{From: pair[0], To: pair[1], Length: survey.Measured(4000, survey.ByTape)}))
	}
	d = made(t, d)(SetDraft(d, "network.tapes.1.length", "40o0"))
	return made(t, d)(PutPhoto(d,
		Photo{ID: PhotoID([]byte("picture")), Spots: map[string]Spot{"network.B": {U: 10, V: 20}, "post": {U: 1, V: 2}}}))
}

// made applies an edit that must not be refused.
func made(t *testing.T, d *Document) func(Edit, error) *Document {
	return func(e Edit, err error) *Document {
		t.Helper()
		require.NoError(t, err)
		next, err := Apply(d, e)
		require.NoError(t, err)
		return next
	}
}

func undone(t *testing.T, d *Document, e Edit) *Document {
	t.Helper()
	back, err := Apply(d, Edit{Changes: e.inverse()})
	require.NoError(t, err)
	return back
}

func same(t *testing.T, want, got *Document) {
	t.Helper()
	a, err := json.Marshal(want)
	require.NoError(t, err)
	b, err := json.Marshal(got)
	require.NoError(t, err)
	assert.JSONEq(t, string(a), string(b))
}

// All that names a peg follows its new name, drafts stay, and one undo brings
// the old name back everywhere.
func TestRenamePeg(t *testing.T) {
	d := netted(t)
	e, err := RenamePeg(d, "B", " Gatepost ")
	require.NoError(t, err)
	next := made(t, d)(e, err)
	assert.Equal(t, "Gatepost", next.Survey.Network.Pegs[1].Name)
	var pairs []string
	for _, tape := range next.Survey.Network.Tapes {
		pairs = append(pairs, tape.From+"-"+tape.To)
	}
	assert.Equal(t, []string{"A-Gatepost", "Gatepost-C", "C-A"}, pairs)
	assert.Equal(t, 4000.0, next.Survey.Network.Tapes[0].Length.Size)
	draft, ok := next.Draft("network.tapes.1.length")
	assert.True(t, ok)
	assert.Equal(t, "40o0", draft)
	assert.Contains(t, next.Photos[0].Spots, "network.Gatepost")
	assert.NotContains(t, next.Photos[0].Spots, "network.B")
	same(t, d, undone(t, next, e))
}

func TestRenamePegRefuses(t *testing.T) {
	d := netted(t)
	for _, to := range []string{"", "  ", "A", "a name that is far too long"} {
		e, err := RenamePeg(d, "B", to)
		var refusal *input.FieldError
		require.True(t, errors.As(err, &refusal), to)
		assert.NotEmpty(t, refusal.Detail)
		assert.True(t, e.Empty())
	}
	_, err := RenamePeg(d, "no such", "D")
	assert.Error(t, err)
	e, err := RenamePeg(d, "B", "B")
	require.NoError(t, err)
	assert.True(t, e.Empty())
}

// A peg goes with its tapes and what was typed for them, and one undo brings
// all of it back where it stood.
func TestRemovePeg(t *testing.T) {
	d := netted(t)
	e, err := RemovePeg(d, "B")
	next := made(t, d)(e, err)
	require.Len(t, next.Survey.Network.Pegs, 2)
	require.Len(t, next.Survey.Network.Tapes, 1)
	assert.Equal(t, "C", next.Survey.Network.Tapes[0].From)
	assert.Empty(t, next.Drafts)
	same(t, d, undone(t, next, e))
	_, err = RemovePeg(d, "no such")
	assert.Error(t, err)
}

// An entry is put before the one named, at the end otherwise, and goes again.
func TestInsertEntry(t *testing.T) {
	for at, want := range [][]string{{"X", "1", "2"}, {"1", "X", "2"}, {"1", "2", "X"}} {
		d := NewDocument("2026-01-02T03:04:05Z")
		for _, name := range []string{"1", "2"} {
			d = made(t, d)(AddEntry(d, "row", "ground.levels.book", survey.BookRow{Station: name}))
		}
		e, err := InsertEntry(d, "row", "ground.levels.book", at, survey.BookRow{Station: "X"})
		next := made(t, d)(e, err)
		var got []string
		for _, r := range next.Survey.Ground.Levels.Book {
			got = append(got, r.Station)
		}
		assert.Equal(t, want, got)
		same(t, d, undone(t, next, e))
	}
}
