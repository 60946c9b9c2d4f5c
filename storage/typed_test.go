package storage

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/input"
	"pegpour/engine/survey"
	"pegpour/storage/canonical"
)

// typedInto are documents of every kind to type into: empty, decoded, with
// lists, with drafts, made by hand, and from a newer program.
func typedInto(t *testing.T) map[string]*Document {
	t.Helper()
	decoded, _ := readDocument(t, "site-v1.json")
	all := map[string]*Document{"decoded": decoded, "empty": NewDocument("2026-01-01T00:00:00Z")}
	grown := decoded
	for i := range 3 {
		e, err := AddObstruction(grown, survey.Obstruction{Name: strings.Repeat("x", i)})
		require.NoError(t, err)
		grown, err = Apply(grown, e)
		require.NoError(t, err)
	}
	e, err := SetDraft(grown, "runBack.obstructions.1.length", "1,2,3")
	require.NoError(t, err)
	grown, err = Apply(grown, e)
	require.NoError(t, err)
	e, err = SetDraft(grown, "opening.width", "fourish")
	require.NoError(t, err)
	grown, err = Apply(grown, e)
	require.NoError(t, err)
	all["grown"] = grown
	byHand := NewDocument("2026-01-01T00:00:00Z")
	byHand.Survey.RunBack.Obstructions = make([]survey.Obstruction, 2)
	byHand.Survey.Ground.Levels.Drops = make([]survey.StringDrop, 2)
	byHand.Drafts = map[string]string{"opening.width": "?", "practice.strip.width": "wide"}
	all["by hand"] = byHand
	text := strings.Replace(string(encode(t, decoded)), `"width":{"how":"laser",`,
		`"width":{"how":"laser","kept":"by a newer program",`, 1)
	require.Contains(t, text, "newer")
	newer, err := Decode([]byte(text))
	require.NoError(t, err)
	all["newer"] = newer
	return all
}

// What is shown at once is, to the byte, what the edit makes a moment later.
func TestTypedIsWhatTheEditMakes(t *testing.T) {
	quick := 0
	for name, d := range typedInto(t) {
		before := encode(t, d)
		for _, f := range survey.Fields(&d.Survey) {
			if !f.Numeric() {
				continue
			}
			for _, v := range []survey.Value{
				{}, survey.Measured(f.Low, survey.ByTape), survey.Measured(f.High, survey.ByLaser),
				survey.Measured((f.Low+f.High)/2, ""),
				survey.Measured(f.High*2+1, survey.ByTape), {Size: f.Low - 1, How: survey.ByTape, Text: "too low"},
				{Size: math.NaN(), How: survey.ByTape, Text: "NaN"}, {Size: f.Low, How: "by no such way"}, f.Value(&d.Survey),
				{Size: f.Low + rand.New(rand.NewPCG(1, uint64(len(f.Path)))).Float64()*(f.High-f.Low), How: survey.ByTape,
					Text: "<é>"},
			} {
				next := WithValue(d, f.Path, v)
				if next == nil {
					continue
				}
				quick++
				e, _ := SetValue(d, f.Path, v) // what is refused comes as a draft
				want, err := Apply(d, e)
				require.NoError(t, err, "%s: %s = %+v", name, f.Path, v)
				require.Equal(t, string(encode(t, want)), string(encode(t, next)), "%s: %s = %+v", name, f.Path, v)
			}
			for _, text := range []string{"", "1,2,3", "fourish", "\"<&"} {
				next := WithDraft(d, f.Path, text)
				if next == nil {
					continue
				}
				e, err := SetDraft(d, f.Path, text)
				require.NoError(t, err)
				want, err := Apply(d, e)
				require.NoError(t, err)
				require.Equal(t, string(encode(t, want)), string(encode(t, next)), "%s: %s as %q", name, f.Path, text)
			}
		}
		assert.Equal(t, string(before), string(encode(t, d)), "%s was changed", name)
	}
	assert.Greater(t, quick, 1000)
}

// What a commit makes side by side, in the typed document and in its tree, is to the
// byte what reading the tree gives.
func TestTypedIsWhatTheTreeHolds(t *testing.T) {
	const at = "2026-02-02T00:00:00Z"
	quick := 0
	for name, d := range typedInto(t) {
		tree, err := d.checkedTree()
		require.NoError(t, err)
		d, err = documentOf(tree)
		require.NoError(t, err)
		check := func(e Edit) {
			t.Helper()
			tree, err := d.checkedTree()
			require.NoError(t, err)
			made, err := rebase(tree, documentShape, e)
			require.NoError(t, err)
			_, err = rebase(tree, documentShape, Edit{}.Stamped(at))
			require.NoError(t, err)
			want, err := documentOf(copyTree(tree))
			require.NoError(t, err)
			next, ok := d.typed(tree, made.Changes, at)
			if !ok || made.Empty() {
				return
			}
			quick++
			require.Equal(t, string(encode(t, want)), string(encode(t, next.(*Document))), "%s: %+v", name, e)
			text, err := canonical.Marshal(tree)
			require.NoError(t, err)
			require.Equal(t, string(encode(t, want)), string(text), "%s: %+v", name, e)
		}
		for _, f := range survey.Fields(&d.Survey) {
			if !f.Numeric() {
				e, err := SetWords(d, f.Path, "")
				require.NoError(t, err)
				check(e)
				continue
			}
			for _, v := range []survey.Value{
				{}, survey.Measured(f.Low, survey.ByTape), {Size: f.High, How: survey.ByLaser, Text: "<é>", Sigma: 0.5},
				{Size: f.High*2 + 1, How: survey.ByTape},
			} {
				e, _ := SetValue(d, f.Path, v)
				check(e)
			}
			e, err := SetDraft(d, f.Path, "4 0 0\"<&")
			require.NoError(t, err)
			check(e)
			at, ok := fieldPath(tree, f.Path)
			require.True(t, ok)
			for _, raw := range []string{`{"size":1}`, `{"how":"tape","size":1e3,"more":2}`, `"x"`, `{}`, `{"how":""}`} {
				tree, err := d.checkedTree()
				require.NoError(t, err)
				made, err := rebase(tree, documentShape, Edit{Changes: []Change{{Path: at, After: json.RawMessage(raw)}}})
				require.NoError(t, err)
				next, ok := d.typed(tree, made.Changes, d.Changed)
				if !ok || made.Empty() {
					continue
				}
				text, err := canonical.Marshal(tree)
				require.NoError(t, err)
				require.Equal(t, string(encode(t, next.(*Document))), string(text), "%s: %s", f.Path, raw)
			}
		}
		check(Edit{Changes: []Change{{Path: "/drafts/opening.width", After: json.RawMessage(`""`)}}})
	}
	assert.Greater(t, quick, 500)
}

func TestWhatANewerProgramKeptNeedsTheEdit(t *testing.T) {
	d := typedInto(t)["newer"]
	assert.Nil(t, WithValue(d, "opening.width", survey.Measured(4000, survey.ByTape)))
	assert.NotNil(t, WithValue(d, "opening.postDepth", survey.Measured(120, survey.ByTape)))
	assert.Nil(t, WithValue(d, "no.such", survey.Measured(4000, survey.ByTape)))
}

func TestDraftsByField(t *testing.T) {
	all := typedInto(t)
	assert.Nil(t, all["empty"].DraftsByField())
	assert.Equal(t, map[string]string{"opening.width": "?"}, all["by hand"].DraftsByField())
	for name, d := range all {
		drafts := d.DraftsByField()
		for _, f := range survey.Fields(&d.Survey) {
			text, ok := d.Draft(f.Path)
			got, has := drafts[f.Path]
			assert.Equal(t, ok, has, "%s: %s", name, f.Path)
			assert.Equal(t, text, got, "%s: %s", name, f.Path)
		}
	}
	assert.Equal(t, "1,2,3", all["grown"].DraftsByField()["runBack.obstructions.1.length"])
}

// A key on its way into the store, without the store.
func BenchmarkCommit(b *testing.B) {
	d, _ := readDocument(b, "site-v1.json")
	store := NewMemory()
	l, err := store.Create(context.Background(), d)
	require.NoError(b, err)
	b.ReportAllocs()
	for width := 4000.0; b.Loop(); width = 8000 - width + 7 {
		e, err := SetValue(l.Document, "opening.width", survey.Measured(width, survey.ByTape))
		require.NoError(b, err)
		l, err = store.Commit(context.Background(), d.ID, e, l.Revision)
		require.NoError(b, err)
	}
}

func BenchmarkWithValue(b *testing.B) {
	d, _ := readDocument(b, "site-v1.json")
	b.ReportAllocs()
	for b.Loop() {
		if WithValue(d, "opening.width", survey.Measured(4000, survey.ByTape)) == nil {
			b.Fatal("nothing changed")
		}
	}
}

// The edit that is made without the tree is the one that is made with it.
func TestAPlainEditIsTheTreesEdit(t *testing.T) {
	plain, withDrafts := 0, 0
	for name, d := range typedInto(t) {
		for _, f := range survey.Fields(&d.Survey) {
			if !f.Numeric() {
				continue
			}
			for _, v := range []survey.Value{
				{}, survey.Measured((f.Low+f.High)/2, survey.ByTape), {Size: f.Low, How: survey.ByTape, Text: "<é>"},
				f.Value(&d.Survey),
			} {
				got, ok := plainEdit(d, f, v, "")
				if !ok {
					continue
				}
				plain++
				b := onSite(d, f.Name.String())
				at, _ := fieldPath(b.tree, f.Path)
				if v.IsZero() {
					b.set(at, nil)
				} else {
					b.set(at, v)
				}
				b.set(joinPath("drafts", draftKeyIn(b.tree, f.Path)), nil)
				want, err := b.done()
				require.NoError(t, err)
				require.Equal(t, want, got, "%s: %s = %+v", name, f.Path, v)
				if len(got.Changes) > 1 {
					withDrafts++
				}
			}
			if got, ok := plainEdit(d, f, survey.Value{}, "4o"); ok {
				b := onSite(d, f.Name.String())
				b.set(joinPath("drafts", draftKeyIn(b.tree, f.Path)), "4o")
				want, err := b.done()
				require.NoError(t, err)
				require.Equal(t, want, got, "%s: a draft of %s", name, f.Path)
			}
		}
	}
	assert.Greater(t, plain, 500)
	assert.Positive(t, withDrafts)
	newer := typedInto(t)["newer"]
	width, _ := survey.FieldAt(survey.OpeningWidth)
	_, ok := plainEdit(newer, width, survey.Measured(4000, survey.ByTape), "")
	assert.False(t, ok, "what a newer program kept is in the tree only")
}

// countedReads counts what is asked of a backend.
type countedReads struct {
	Memory
	asked int
}

func (c *countedReads) Update(ctx context.Context, do func(Tx) error) error {
	return c.Memory.Update(ctx, func(tx Tx) error { return do(countedTx{tx, c}) })
}

type countedTx struct {
	Tx
	counted *countedReads
}

func (c countedTx) Get(t Table, key string) ([]byte, error) {
	c.counted.asked++
	return c.Tx.Get(t, key)
}

// The browser's answer to each question takes a turn, and a key is on the disk
// after the last: only the head is asked for, which tells whether somebody else
// changed the site.
func TestAKeyAsksTheStoreForTheHeadAlone(t *testing.T) {
	backend := &countedReads{}
	store, other := NewStore(backend, SteppingClock()), NewStore(backend, SteppingClock())
	ctx := context.Background()
	l, err := store.Create(ctx, NewDocument("2026-01-01T00:00:00Z"))
	require.NoError(t, err)
	at := l.Revision
	key := func(in Store, path string, mm float64) Loaded {
		t.Helper()
		e, err := SetValue(l.Document, path, survey.Measured(mm, survey.ByTape))
		var refusal *input.FieldError // kept as a draft, on the way to a number
		require.True(t, err == nil || errors.As(err, &refusal), "%v", err)
		backend.asked = 0
		l, err = in.Commit(ctx, l.Document.ID, e, at)
		require.NoError(t, err)
		at = l.Revision
		return l
	}
	key(store, survey.OpeningWidth, 4)
	for _, mm := range []float64{40, 400, 4000} {
		got := key(store, survey.OpeningWidth, mm)
		assert.Equal(t, 1, backend.asked)
		assert.True(t, got.CanUndo)
		assert.Equal(t, "Opening between the gate posts", got.UndoLabel)
		again, err := store.Load(ctx, l.Document.ID)
		require.NoError(t, err)
		assert.Equal(t, string(encode(t, again.Document)), string(encode(t, got.Document)), "what stands there")
		got.Document, again.Document = nil, nil
		assert.Equal(t, again, got)
	}
	key(other, survey.OpeningPostDepth, 120)
	key(store, survey.OpeningWidth, 4100)
	assert.Greater(t, backend.asked, 1, "another one's change is read")
	assert.Equal(t, 120.0, l.Document.Survey.Opening.PostDepth.Size)
	_, err = store.Undo(ctx, l.Document.ID)
	require.NoError(t, err)
	key(store, survey.RunBackRoom, 5000)
	assert.Greater(t, backend.asked, 1, "what was taken back is read")
	assert.Equal(t, 4000.0, l.Document.Survey.Opening.Width.Size)
}
