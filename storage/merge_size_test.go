package storage

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// plainList is how entries of a list are ordered by a merger, written as plainly as
// it is said: for each entry of base, what each side added behind it.
func plainList(b, o, t []string) []string {
	added := func(ids []string, anchor string) (run []string) {
		at := ""
		for _, id := range ids {
			if slices.Contains(b, id) {
				at = id
			} else if at == anchor {
				run = append(run, id)
			}
		}
		return run
	}
	var out []string
	put := func(id string) {
		gone := slices.Contains(b, id) && !(slices.Contains(o, id) && slices.Contains(t, id))
		if !gone && !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	for _, anchor := range append([]string{""}, b...) {
		if anchor != "" {
			put(anchor)
		}
		ro, rt := added(o, anchor), added(t, anchor)
		if len(ro) > 0 && len(rt) > 0 && rt[0] < ro[0] {
			ro, rt = rt, ro
		}
		for _, id := range append(slices.Clone(ro), rt...) {
			put(id)
		}
	}
	return out
}

func siteOf(ids []string) *Document {
	d := &Document{ID: "s"}
	for _, id := range ids {
		d.Notes = append(d.Notes, Note{ID: id, Text: "text of " + id})
	}
	return d
}

func notesOf(d *Document) []string {
	var ids []string
	for i := range d.Notes {
		ids = append(ids, d.Notes[i].ID)
	}
	return ids
}

// Whatever was added, removed and moved, the order is that of the plain rule, and
// the difference of the two leads from one to the other.
func TestListsAreMergedByThePlainRule(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 1))
	for round := range 400 {
		side := func() []string {
			ids := random.Perm(12)
			if random.IntN(2) == 0 {
				slices.Sort(ids)
			}
			var out []string
			for _, n := range ids[:random.IntN(12)] {
				out = append(out, fmt.Sprintf("n%02d", n))
			}
			return out
		}
		b, o, theirs := side(), side(), side()
		merged, conflicts, err := Merge(siteOf(b), siteOf(o), siteOf(theirs))
		require.NoError(t, err)
		require.Empty(t, conflicts)
		want := plainList(b, o, theirs)
		switch { // what only one side touched is that side's
		case slices.Equal(b, o):
			want = theirs
		case slices.Equal(b, theirs), slices.Equal(o, theirs):
			want = o
		}
		require.Equal(t, want, notesOf(merged), "round %d: %v %v %v", round, b, o, theirs)
		e, err := Diff(siteOf(o), siteOf(theirs))
		require.NoError(t, err)
		there, err := Apply(siteOf(o), e)
		require.NoError(t, err)
		require.Equal(t, notesOf(siteOf(theirs)), notesOf(there))
	}
}

// manyNotes are a base and two sides that each added half as many as it has, changed
// some and removed some.
func manyNotes(n int) (base, ours, theirs *Document) {
	var ids []string
	for i := range n {
		ids = append(ids, fmt.Sprintf("b%05d", i))
	}
	base = siteOf(ids)
	side := func(name string, from int) *Document {
		var own []string
		for i, id := range ids {
			if i%10 != from {
				own = append(own, id)
			}
			if i%2 == 0 {
				own = append(own, fmt.Sprintf("%s%05d", name, i))
			}
		}
		d := siteOf(own)
		for i := range d.Notes {
			if i%7 == from {
				d.Notes[i].Text += " changed by " + name
			}
		}
		return d
	}
	return base, side("o", 1), side("t", 2)
}

// As many entries as fit a site are merged while a person waits.
func TestMergingManyEntriesTakesNoLonger(t *testing.T) {
	start := time.Now()
	base, ours, theirs := manyNotes(6000)
	merged, _, err := Merge(base, ours, theirs)
	require.NoError(t, err)
	require.Greater(t, len(merged.Notes), 9000)
	_, err = Diff(ours, merged)
	require.NoError(t, err)
	require.Less(t, time.Since(start), 10*time.Second)
}

func BenchmarkMerge(b *testing.B) {
	for _, n := range []int{250, 500, 1000, 2000} {
		b.Run(fmt.Sprint(n, " notes"), func(b *testing.B) {
			base, ours, theirs := manyNotes(n)
			b.ReportAllocs()
			for b.Loop() {
				if _, _, err := Merge(base, ours, theirs); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// A list has a limit that is said; one that has more is read and can be shortened.
func TestAListHasALimit(t *testing.T) {
	var ids []string
	for i := range MaxEntries {
		ids = append(ids, fmt.Sprint("n", i))
	}
	d := siteOf(ids)
	_, err := PutNote(d, Note{ID: "more"})
	var many *TooManyError
	require.ErrorAs(t, err, &many)
	require.True(t, Final(err))
	e, err := RemoveNote(d, "n5")
	require.NoError(t, err)
	d, err = Apply(d, e)
	require.NoError(t, err)
	_, err = PutNote(d, Note{ID: "more"})
	require.NoError(t, err)
}
