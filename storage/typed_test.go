package storage

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
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

func BenchmarkWithValue(b *testing.B) {
	d, _ := readDocument(b, "site-v1.json")
	b.ReportAllocs()
	for b.Loop() {
		if WithValue(d, "opening.width", survey.Measured(4000, survey.ByTape)) == nil {
			b.Fatal("nothing changed")
		}
	}
}
