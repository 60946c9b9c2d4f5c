package storage

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
	"pegpour/storage/demo"
)

// walkOfEdits edits a site at random, also by undo and redo and with what comes from
// elsewhere, and returns the bytes of every state by its step.
func walkOfEdits(t *testing.T, s Store, d *Document, random *rand.Rand, n int) map[int][]byte {
	t.Helper()
	ctx := t.Context()
	l, err := s.Create(ctx, d)
	require.NoError(t, err)
	states := map[int][]byte{}
	note := func(l Loaded) {
		steps, err := s.History(ctx, d.ID)
		require.NoError(t, err)
		states[len(steps)] = encode(t, l.Document)
	}
	note(l)
	paths := []string{"opening.width", "opening.postLatch.width", "runBack.room", "gate.overlap", "drive.slope"}
	for range n {
		switch random.IntN(12) {
		case 0, 1:
			l, err = s.Undo(ctx, d.ID)
		case 2:
			l, err = s.Redo(ctx, d.ID)
		case 3:
			other := *l.Document
			other.Survey.Site.Client = NewID()
			l, err = s.Receive(ctx, &other, l.Revision, "From the yard", nil, func(Revision) []Record { return nil })
		case 4:
			e, wrong := PutNote(l.Document, Note{ID: NewID(), Text: "n"})
			require.NoError(t, wrong)
			l, err = s.Commit(ctx, d.ID, e, "")
		case 5:
			e, wrong := SetDraft(l.Document, paths[random.IntN(len(paths))], []string{"", "x", "y"}[random.IntN(3)])
			require.NoError(t, wrong)
			l, err = s.Commit(ctx, d.ID, e, "")
		case 6:
			e, wrong := SetTick(l.Document, "peg.1", random.IntN(2) == 0)
			require.NoError(t, wrong)
			l, err = s.Commit(ctx, d.ID, e, "")
		case 7:
			e, wrong := SetRule(l.Document, "strip.width", float64(random.IntN(2)*230), "")
			_ = wrong // a refused one is kept as it was typed
			l, err = s.Commit(ctx, d.ID, e, "")
		default:
			path := paths[random.IntN(len(paths))]
			e, _ := SetValue(l.Document, path, survey.Measured(float64(1000+random.IntN(3000)), survey.ByTape))
			e.Run = "typing " + path
			l, err = s.Commit(ctx, d.ID, e, "")
		}
		if err == ErrNothing { //nolint:errorlint // never wrapped
			if l, err = s.Load(ctx, d.ID); err != nil {
				t.Fatal(err)
			}
			continue
		}
		require.NoError(t, err)
		note(l)
	}
	return states
}

// Every state that a site was ever in can be made again, byte for byte: also those
// that were undone and then edited over.
func TestEveryPastStateIsMadeAgain(t *testing.T) {
	for seed := range uint64(12) {
		random := rand.New(rand.NewPCG(seed, 1))
		s := NewMemory()
		d := &Document{ID: NewID(), Survey: demo.Sites()[int(seed)%3].Survey}
		states := walkOfEdits(t, s, d, random, 60)
		for number, want := range states {
			got, err := s.PastDocument(t.Context(), d.ID, number)
			require.NoError(t, err, "seed %d, step %d", seed, number)
			require.Equal(t, string(want), string(encode(t, got)), "seed %d, step %d", seed, number)
		}
		past, err := s.Past(t.Context(), d.ID)
		require.NoError(t, err)
		require.Equal(t, len(states), past[0].Number, "the first is how it stands")
		for _, p := range past {
			require.True(t, p.Here, "seed %d, step %d", seed, p.Number)
		}
		_, err = s.PastDocument(t.Context(), d.ID, len(states)+1)
		require.ErrorIs(t, err, ErrNotFound)
	}
}

// A history that an older program kept says less: what it still leads to is right, and
// what it does not is not there; nothing is made up.
func TestPastOfAnOlderProgramIsRightOrNotThere(t *testing.T) {
	made, lost := 0, 0
	for seed := range uint64(12) {
		random := rand.New(rand.NewPCG(seed, 2))
		memory := &Memory{}
		s := NewStore(memory, SteppingClock())
		d := &Document{ID: NewID()}
		states := walkOfEdits(t, s, d, random, 40)
		require.NoError(t, memory.Update(t.Context(), func(tx Tx) error {
			records, err := tx.All(TableHistory, d.ID+"/")
			require.NoError(t, err)
			for _, r := range records {
				var old Step
				require.NoError(t, json.Unmarshal(r.Value, &old))
				old.Edits, old.Left = 0, nil
				require.NoError(t, putJSON(tx, TableHistory, r.Key, old))
			}
			return nil
		}))
		for number, want := range states {
			got, err := s.PastDocument(t.Context(), d.ID, number)
			if err != nil {
				require.ErrorIs(t, err, ErrNotFound)
				lost++
				continue
			}
			made++
			require.Equal(t, string(want), string(encode(t, got)), "seed %d, step %d", seed, number)
		}
	}
	require.Greater(t, made, 100)
	require.Positive(t, lost, "the test has nothing that is lost")
}

// Taking back is an edit like any other: it can be undone, and what was before stays
// among the past states.
func TestTakingBackCanBeUndone(t *testing.T) {
	s := NewMemory()
	ctx := t.Context()
	d := &Document{ID: NewID(), Survey: demo.Sites()[0].Survey}
	l, err := s.Create(ctx, d)
	require.NoError(t, err)
	first := l.Document
	for _, width := range []float64{3900, 4100} {
		e, err := SetValue(l.Document, "opening.width", survey.Measured(width, survey.ByTape))
		require.NoError(t, err)
		l, err = s.Commit(ctx, d.ID, e, "")
		require.NoError(t, err)
	}
	before := encode(t, l.Document)
	e, err := TakeBack(l.Document, first)
	require.NoError(t, err)
	l, err = s.Commit(ctx, d.ID, e, l.Revision)
	require.NoError(t, err)
	require.Equal(t, first.Survey, l.Document.Survey)
	require.Greater(t, l.Document.Changed, first.Changed, "it is a change of today")
	past, err := s.Past(ctx, d.ID)
	require.NoError(t, err)
	require.Len(t, past, 4, "nothing of the history goes")
	require.Equal(t, "/survey/opening/width", past[1].Path[:21])
	l, err = s.Undo(ctx, d.ID)
	require.NoError(t, err)
	require.Equal(t, string(before), string(encode(t, l.Document)))
}

// A state is designed with the shop's rules of its day, and names who measured then.
func TestPastKnowsTheShopOfItsDay(t *testing.T) {
	s := NewMemory()
	ctx := t.Context()
	shop := func(e Edit, err error) {
		t.Helper()
		require.NoError(t, err)
		_, err = s.CommitShop(ctx, e)
		require.NoError(t, err)
	}
	d := &Document{ID: NewID(), Survey: demo.Sites()[0].Survey}
	l, err := s.Create(ctx, d)
	require.NoError(t, err)
	set := func(width float64) {
		t.Helper()
		e, err := SetValue(l.Document, "opening.width", survey.Measured(width, survey.ByTape))
		require.NoError(t, err)
		l, err = s.Commit(ctx, d.ID, e, "")
		require.NoError(t, err)
	}
	now := func() *Shop {
		l, err := s.Shop(ctx)
		require.NoError(t, err)
		return l.Shop
	}
	shop(SetSetting(now(), SettingCrew, "Ada"))
	shop(SetShopRule(now(), "strip.width", 230, ""))
	set(3900)
	shop(SetSetting(now(), SettingCrew, "Ben"))
	shop(SetShopRule(now(), "strip.width", 250, ""))
	set(4100)
	past, err := s.Past(ctx, d.ID)
	require.NoError(t, err)
	require.Equal(t, []string{"Ben", "Ada", ""}, []string{past[0].Who, past[1].Who, past[2].Who})
	for i, want := range []float64{250, 230, 0} {
		shop, known, err := s.PastShop(ctx, past[i].At)
		require.NoError(t, err)
		require.True(t, known)
		require.Equal(t, want, shop.Rules["strip.width"], i)
	}
}

// A back-up brings the past with it.
func TestPastComesWithABackUp(t *testing.T) {
	s := NewMemory()
	d := &Document{ID: NewID()}
	states := walkOfEdits(t, s, d, rand.New(rand.NewPCG(3, 3)), 50)
	var file bytes.Buffer
	require.NoError(t, s.BackUp(t.Context(), &file))
	to := NewMemory()
	_, err := to.RestoreBackUp(t.Context(), &file, KeepHere)
	require.NoError(t, err)
	for number, want := range states {
		got, err := to.PastDocument(t.Context(), d.ID, number)
		require.NoError(t, err, number)
		require.Equal(t, string(want), string(encode(t, got)), number)
	}
}
