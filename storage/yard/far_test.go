package yard_test

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine/handover"
	"pegpour/engine/progress"
	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/yard"
)

// bring records what brings a site to a step, and to those before.
func bring(d *storage.Document, to progress.Step) {
	if d.Ticks == nil {
		d.Ticks = map[string]bool{}
	}
	mm := func(v float64) survey.Value { return survey.Measured(v, survey.ByTape) }
	sign := handover.WriteStrokes([][]handover.Point{{{X: 10, Y: 10}, {X: 250, Y: 80}}})
	s := &d.Survey
	for _, record := range []func(){
		func() {},
		func() { s.Opening.Width, s.RunBack.Room = mm(4000), mm(5000) },
		func() { d.Ticks["peg.3"] = true },
		func() { d.Ticks["pour.services"] = true },
		func() { d.Ticks["pour.rodded"] = true },
		func() { s.Build.Poured.Opening = mm(4003) },
		func() { s.Build.HandOver.StopShut = survey.Holds },
		func() {
			h := &s.Build.HandOver
			h.Fitter, h.FitterSign, h.Owner, h.OwnerSign = "A", sign, "B", sign
		},
	}[:to+1] {
		record()
	}
}

func at(step progress.Step, name string) func(*storage.Document) {
	return func(d *storage.Document) {
		d.Survey.Site.Name = name
		bring(d, step)
	}
}

// stepOf is the step of the version of a site that an office opens.
func stepOf(t testing.TB, y *yard.Yard, s yard.Site) string {
	t.Helper()
	text, _, err := y.Revision(t.Context(), s.ID, s.Heads[0])
	require.NoError(t, err)
	d, err := storage.Decode(text)
	require.NoError(t, err)
	return progress.Of(&d.Survey, d.Ticks).Name()
}

// listedAt lists the identities of the sites that are at a step.
func listedAt(t testing.TB, y *yard.Yard, far string) []string {
	t.Helper()
	all, err := y.Sites(t.Context(), yard.Query{Far: far})
	require.NoError(t, err)
	ids := []string{}
	for _, s := range all {
		require.Equal(t, far, s.Far)
		ids = append(ids, s.ID)
	}
	return ids
}

// The list says how far each site is, and finds by it, whatever becomes of the site.
func far(t *testing.T, open func(yard.Options) *yard.Yard) {
	ctx := t.Context()
	y := open(yard.Options{})
	farOf := func(id string) string {
		t.Helper()
		s, err := y.Site(ctx, id)
		require.NoError(t, err)
		require.Contains(t, listedAt(t, y, s.Far), id)
		return s.Far
	}
	tell := func(again bool, want int) {
		t.Helper()
		n, err := y.TellFar(ctx, again)
		require.NoError(t, err)
		require.Equal(t, want, n)
	}
	last := map[progress.Step]storage.Revision{}
	for step := range progress.Steps {
		id := fmt.Sprint("at-", step.Name())
		last[step], _ = put(t, y, id, document(t, id, at(step, "N")))
		require.Equal(t, step.Name(), farOf(id))
		require.Equal(t, []string{id}, listedAt(t, y, step.Name()))
	}
	tell(true, 0)
	_, err := y.Sites(ctx, yard.Query{Far: "finished"})
	var invalid *yard.InvalidError
	require.ErrorAs(t, err, &invalid)

	// A site goes on, and back where what was recorded was taken back.
	newer, _ := put(t, y, "at-new", document(t, "at-new", at(progress.Formed, "N")), last[progress.New])
	require.Equal(t, "formed", farOf("at-new"))
	put(t, y, "at-new", document(t, "at-new", at(progress.Pegged, "N")), newer)
	require.Equal(t, "pegged", farOf("at-new"))

	// Two who were at it at once: what the yard brought together counts.
	a, _ := put(t, y, "m", document(t, "m", named("N")))
	put(t, y, "m", document(t, "m", at(progress.Pegged, "N")), a)
	_, s := put(t, y, "m", document(t, "m", func(d *storage.Document) {
		d.Survey.Site.Name, d.Survey.Site.Address = "N", "A"
	}), a)
	require.Len(t, s.Heads, 1)
	require.Equal(t, "pegged", farOf("m"))

	// Two newest versions that contradict one another: that of them which the office opens.
	x, _ := put(t, y, "m", document(t, "m", at(progress.Poured, "X")), s.Heads[0])
	for _, step := range []progress.Step{progress.Tested, progress.New} { // whichever comes first by name
		_, s = put(t, y, "m", document(t, "m", at(step, "Z"+step.Name())), s.Heads...)
		_, _ = put(t, y, "m", document(t, "m", at(progress.AsPoured, "Y"+step.Name())), x)
		site, err := y.Site(ctx, "m")
		require.NoError(t, err)
		require.Greater(t, len(site.Heads), 1)
		require.Equal(t, stepOf(t, y, site), site.Far)
		s.Heads = site.Heads
		yard.AsBefore(t, y, "m")
		tell(false, 1)
		require.Equal(t, site.Far, farOf("m"), "told afterwards it is the same")
	}
	put(t, y, "m", document(t, "m", at(progress.HandedOver, "X")), s.Heads...)
	require.Equal(t, "handed-over", farOf("m"))

	// One that waits for what it came from says nothing yet.
	first := document(t, "w", named("N"))
	put(t, y, "w", document(t, "w", at(progress.Poured, "N")), storage.NameRevision(first))
	_, err = y.Site(ctx, "w")
	require.ErrorIs(t, err, yard.ErrNotFound)
	tell(true, 0)
	put(t, y, "w", first)
	require.Equal(t, "poured", farOf("w"))

	// Marks and crews change nothing of it, also where it is not known.
	_, err = y.SetMark(ctx, "d", "w", yard.Quoted, nil)
	require.NoError(t, err)
	require.NoError(t, y.SetSiteCrews(ctx, "w", []string{"North"}))
	require.Equal(t, "poured", farOf("w"))
	yard.AsBefore(t, y, "w")
	require.NoError(t, y.SetSiteCrews(ctx, "w", []string{"South"}))
	require.Equal(t, yard.FarUnknown, farOf("w"))
	n, err := y.FarUntold(ctx, yard.Query{Far: "poured", Crew: "South", Before: 1, Limit: 1})
	require.NoError(t, err)
	require.Equal(t, 1, n)
	n, err = y.FarUntold(ctx, yard.Query{Far: "poured", Crew: "North"})
	require.NoError(t, err)
	require.Zero(t, n)
	tell(false, 1)
	require.Equal(t, "poured", farOf("w"))

	// A deleted site is in no list, and as far as it was when it is brought back.
	_, err = y.DeleteSite(ctx, "d", "w")
	require.NoError(t, err)
	require.NotContains(t, listedAt(t, y, "poured"), "w")
	require.NotContains(t, listedAt(t, y, yard.FarUnknown), "w")
	tell(true, 0)
	require.NoError(t, y.Undelete(ctx, "w"))
	require.Equal(t, "poured", farOf("w"))

	// What a newer program sent is kept, and not known; so is what is damaged.
	beyond := []byte(strings.Replace(string(document(t, "v", at(progress.Poured, "N"))), `"version":1`, `"version":99`, 1))
	put(t, y, "v", beyond)
	require.Equal(t, yard.FarUnknown, farOf("v"))
	tell(false, 0)
	tell(true, 0)
	sound := document(t, "h", at(progress.Tested, "N"))
	h, _ := put(t, y, "h", sound)
	yard.SpoilText(t, y, h, document(t, "h", at(progress.Pegged, "N")))
	require.Equal(t, "tested", farOf("h"))
	yard.AsBefore(t, y, "h")
	tell(false, 0)
	require.Equal(t, yard.FarUnknown, farOf("h"), "of what nobody sent nothing is told")
	put(t, y, "h", sound)
	tell(false, 1)
	require.Equal(t, "tested", farOf("h"))
	yard.AsBefore(t, y, "h")
	yard.SpoilText(t, y, h, []byte("{}"))
	tell(false, 0)
	yard.SpoilText(t, y, h, sound) // a program of before put it right
	tell(false, 0)
	tell(true, 1)
	require.Equal(t, "tested", farOf("h"))

	// A back-up holds it, in whatever database it is put back.
	all, err := y.Sites(ctx, yard.Query{})
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "kept.sqlite")
	require.NoError(t, y.BackUp(ctx, file))
	restored := filepath.Join(t.TempDir(), "restored")
	require.NoError(t, yard.Restore(ctx, file, restored))
	again, err := opened(t, restored, yard.Options{}).Sites(ctx, yard.Query{})
	require.NoError(t, err)
	require.Len(t, again, len(all))
	for i := range all {
		require.Equal(t, all[i].Far, again[i].Far)
	}
	found, err := y.Examine(ctx)
	require.NoError(t, err)
	require.True(t, found.Sound(), "%+v", found.Findings)
}

// Many that are not told, more than are told at once, are told while others are sent and
// another server tells them too, and none is wrong at any time.
func farOfMany(t *testing.T, open func(yard.Options) *yard.Yard) {
	ctx := t.Context()
	y, second := open(yard.Options{NotDurable: true}), open(yard.Options{NotDurable: true})
	const sites = 230
	heads := map[string]storage.Revision{}
	id := func(n int) string { return fmt.Sprint("s", n) }
	step := func(n int) progress.Step { return progress.Step(n % int(progress.Steps)) }
	for n := range sites {
		heads[id(n)], _ = put(t, y, id(n), document(t, id(n), at(step(n), "N")))
		yard.AsBefore(t, y, id(n))
	}
	require.Len(t, listedAt(t, y, yard.FarUnknown), sites)
	for s := range progress.Steps {
		require.Empty(t, listedAt(t, y, s.Name()))
	}
	told := make(chan error)
	for _, y := range []*yard.Yard{y, second} {
		go func() {
			_, err := y.TellFar(ctx, true)
			told <- err
		}()
	}
	for n := 0; n < sites; n += 3 {
		put(t, second, id(n), document(t, id(n), at(step(n+1), "M")), heads[id(n)])
		all, err := y.Sites(ctx, yard.Query{})
		require.NoError(t, err)
		for _, s := range all[:20] {
			if s.Far != yard.FarUnknown {
				require.Equal(t, stepOf(t, y, s), s.Far)
			}
		}
	}
	require.NoError(t, <-told)
	require.NoError(t, <-told)
	_, err := y.TellFar(ctx, false)
	require.NoError(t, err)
	require.Empty(t, listedAt(t, y, yard.FarUnknown))
	sum := 0
	for s := range progress.Steps {
		for _, id := range listedAt(t, y, s.Name()) {
			var n int
			_, err := fmt.Sscanf(id, "s%d", &n)
			require.NoError(t, err)
			want := step(n)
			if n%3 == 0 {
				want = step(n + 1)
			}
			require.Equal(t, want, s, id)
			sum++
		}
	}
	require.Equal(t, sites, sum)
}
