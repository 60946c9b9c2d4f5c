package passing

import (
	"bytes"
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/row"
)

// Codes hold exactly what is said, to the last byte.
func TestTheRoomOfACode(t *testing.T) {
	for _, m := range manners {
		s, err := NewSquares(m.version)
		require.NoError(t, err)
		pixels := make([]byte, 4*s.Side*s.Side)
		assert.NoError(t, s.Draw(make([]byte, s.Room()), pixels))
		assert.Error(t, s.Draw(make([]byte, s.Room()+1), pixels))
		for i := range pixels {
			if i%4 == 3 || i < 4*quiet*s.Side { // opaque, with a white edge
				require.EqualValues(t, 255, pixels[i])
			}
		}
	}
	assert.Greater(t, manners[slowManner].every, 334, "three pictures a second are no more than three flashes")
	s, err := NewSquares(30)
	require.NoError(t, err)
	assert.Equal(t, 1732, s.Room(), "ISO/IEC 18004, table of capacities, recalled")
	assert.Equal(t, 137+8, s.Side)
}

// rowOf is a row of a content.
func rowOf(t *testing.T, content string) *row.Row {
	t.Helper()
	r, err := row.New([]byte(content), 70)
	require.NoError(t, err)
	return r
}

// What the camera sees is told apart, and what had come of a row counts when another was
// seen meanwhile.
func TestWhatTheCameraSees(t *testing.T) {
	var g gathering
	at := time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)
	tick := func() time.Time { at = at.Add(100 * time.Millisecond); return at }
	assert.Equal(t, seesNothing, g.now(at))
	g.see([][]byte{[]byte("https://example.com")}, tick())
	assert.Equal(t, seesOthers, g.now(at))
	assert.Equal(t, seesNothing, g.now(at.Add(2*time.Second)))

	r := rowOf(t, "one two three four five six seven eight nine ten eleven twelve")
	require.Equal(t, 3, r.Blocks)
	damaged := r.Picture(0)
	damaged[60] ^= 1
	g.see([][]byte{damaged}, tick())
	assert.Equal(t, seesDamaged, g.now(at))
	assert.Nil(t, g.current)

	assert.False(t, g.see([][]byte{[]byte("other"), r.Picture(0)}, tick()))
	began := at
	assert.Equal(t, seesNew, g.now(at))
	assert.Equal(t, 1, g.current.Known)
	for range 40 {
		g.see([][]byte{r.Picture(0)}, tick())
	}
	assert.Equal(t, seesOld, g.now(at))

	other := rowOf(t, "another row of some length, as another phone shows")
	g.see([][]byte{other.Picture(0)}, tick())
	assert.Equal(t, other.Content, g.current.Content)
	assert.False(t, g.see([][]byte{r.Picture(1)}, tick()))
	assert.Equal(t, 2, g.current.Known)
	assert.True(t, g.see([][]byte{r.Picture(2)}, tick()))
	assert.Equal(t, began, g.begun)
	whole, err := g.current.Whole()
	require.NoError(t, err)
	assert.Contains(t, string(whole), "twelve")

	// Of many rows those seen last are kept.
	for _, name := range []string{"a", "b", "c", "d", "e"} {
		g.see([][]byte{rowOf(t, name+" row of some length, as another phone shows").Picture(0)}, tick())
	}
	assert.Len(t, g.rows, mostRows)
	assert.Len(t, g.starts, mostRows)
	g.see([][]byte{r.Picture(0)}, tick())
	assert.Equal(t, 1, g.current.Known, "it begins anew")
}

func TestPackedAndUnpacked(t *testing.T) {
	store := storage.NewMemory()
	d := storage.NewDocument("2026-05-01T08:00:00Z")
	_, err := store.Create(t.Context(), d)
	require.NoError(t, err)
	content, err := packedSite(t.Context(), store, d.ID, true)
	require.NoError(t, err)
	file, err := unpacked(content)
	require.NoError(t, err)
	report, err := storage.NewMemory().ReceiveBackUp(context.Background(), bytes.NewReader(file), storage.KeepHere)
	require.NoError(t, err)
	assert.Equal(t, storage.RestoreNew, report.Items[0].Outcome)

	rules, err := packedRules(t.Context(), store)
	require.NoError(t, err)
	assert.Less(t, len(rules), 400)
	_, err = packedSite(t.Context(), store, "none", true)
	assert.ErrorIs(t, err, storage.ErrNotFound)

	_, err = unpacked(content[:len(content)/2])
	assert.ErrorIs(t, err, errNotPacked)
	_, err = unpacked([]byte("not packed at all"))
	assert.ErrorIs(t, err, errNotPacked)
	bomb, err := packed(make([]byte, mostUnpacked+1))
	require.NoError(t, err)
	require.Less(t, len(bomb), 1<<20)
	_, err = unpacked(bomb)
	assert.ErrorIs(t, err, errUnpackedTo)
}
