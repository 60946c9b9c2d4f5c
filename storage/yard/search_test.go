package yard_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine/progress"
	"pegpour/storage"
	"pegpour/storage/yard"
)

// foundAsByReading has sites come, change, be marked, given to crews, deleted and brought
// back by chance, and holds what is found by index against the list read from end to end.
func foundAsByReading(t *testing.T, open func(yard.Options) *yard.Yard) {
	ctx := t.Context()
	y := open(yard.Options{NotDurable: true})
	random := rand.New(rand.NewPCG(3, 8))
	letters := []rune("aabbcü ß%_\\\"'İKé🏠木-4 ")
	text := func(most int) string {
		r := make([]rune, random.IntN(most))
		for i := range r {
			r[i] = letters[random.IntN(len(letters))]
		}
		return string(r)
	}
	devices := map[string]string{}
	var ids []string
	crews := []string{"North", "South"}
	for n, name := range []string{"Üte abc", "Van", "ab", "the long name of a phone"} {
		code, _, err := y.NewCodeFor(ctx, yard.CodeFor{Role: yard.Crew, Crew: crews[n%2]})
		require.NoError(t, err)
		d, _, err := y.Pair(ctx, code, name)
		require.NoError(t, err)
		devices[d.ID] = name
		ids = append(ids, d.ID)
	}
	crewOf := func(device string) string { return crews[slices.Index(ids, device)%2] }
	heads := map[string]storage.Revision{}
	gone := map[string]bool{}
	before := map[string]bool{} // a program of before wrote it last
	compare := func() {
		t.Helper()
		all, err := y.Sites(ctx, yard.Query{})
		require.NoError(t, err)
		for _, s := range all {
			want := stepOf(t, y, s)
			if before[s.ID] {
				want = yard.FarUnknown
			}
			require.Equal(t, want, s.Far)
		}
		for range 40 {
			q := yard.Query{State: []string{"", yard.StateNone, yard.StateQuoted, yard.StatePoured}[random.IntN(4)],
				Crew: []string{"", "", "North", "South", "West"}[random.IntN(5)],
				Far:  append(make([]string, 12), append(progress.Names(), yard.FarUnknown)...)[random.IntN(21)]}
			for range random.IntN(3) {
				word := text(6)
				if len(all) > 0 && random.IntN(3) > 0 { // part of what is there
					s := all[random.IntN(len(all))]
					r := []rune(strings.Join([]string{s.Name, s.Address, s.By, s.ID}, " "))
					at := random.IntN(len(r))
					word = string(r[at:min(len(r), at+1+random.IntN(7))])
				}
				q.Search += " " + word
			}
			want := []string{}
			for _, s := range all {
				state := yard.StateNone
				for _, m := range s.Marks {
					if state != yard.StatePoured {
						state = m.Mark
					}
				}
				ours := q.Crew == "" || slices.Contains(s.Crews, q.Crew) || len(s.Crews) == 0 && crewOf(s.Device) == q.Crew
				here := (q.State == "" || q.State == state) && ours && (q.Far == "" || q.Far == s.Far)
				line := strings.ToLower(strings.Join([]string{s.Name, s.Address, s.Client, s.Surveyor, s.ID}, " "))
				for _, w := range strings.Fields(strings.ToLower(q.Search)) {
					here = here && (strings.Contains(line, w) || strings.Contains(strings.ToLower(devices[s.Device]), w))
				}
				if here {
					want = append(want, s.ID)
				}
			}
			for _, few := range []int{2, 2000} {
				back := yard.FewFound(few)
				found, err := y.Sites(ctx, q)
				back()
				require.NoError(t, err)
				got := []string{}
				for _, s := range found {
					got = append(got, s.ID)
				}
				require.Equal(t, want, got, "%+v", q)
			}
		}
		counted := map[string]yard.Work{}
		for _, s := range all {
			whose := s.Crews
			if len(whose) == 0 {
				whose = []string{crewOf(s.Device)}
			}
			for _, c := range whose {
				w := counted[c]
				w.Crew = c
				has := func(mark string) bool {
					return slices.ContainsFunc(s.Marks, func(m yard.Mark) bool { return m.Mark == mark })
				}
				switch {
				case has(yard.Poured):
					w.Poured++
				case has(yard.Quoted):
					w.Quoted++
				default:
					w.None++
				}
				counted[c] = w
			}
		}
		work, err := y.WorkByCrew(ctx)
		require.NoError(t, err)
		require.Len(t, work, len(counted))
		for _, w := range work {
			require.Equal(t, counted[w.Crew], w)
		}
	}
	for n := range 160 {
		id := fmt.Sprintf("site-%d", random.IntN(30))
		switch random.IntN(8) {
		default:
			if gone[id] {
				continue
			}
			doc := document(t, id, func(d *storage.Document) {
				d.Survey.Site.Name, d.Survey.Site.Address, d.Survey.Site.MeasuredBy = text(12), text(9), text(5)
				bring(d, progress.Step(random.IntN(int(progress.Steps))))
			})
			var parents []storage.Revision
			if h := heads[id]; h != "" {
				parents = []storage.Revision{h}
			}
			name := storage.NameRevision(doc, parents...)
			_, err := y.PutRevision(ctx, ids[random.IntN(4)], id, name, parents, doc)
			require.NoError(t, err)
			heads[id] = name
			delete(before, id)
			if random.IntN(4) == 0 {
				yard.AsBefore(t, y, id)
				before[id] = true
			}
			if random.IntN(30) == 0 {
				_, err := y.TellFar(ctx, false)
				require.NoError(t, err)
				for id := range before {
					if !gone[id] {
						delete(before, id)
					}
				}
			}
		case 5:
			if heads[id] != "" && !gone[id] {
				mark := []string{yard.Quoted, yard.Poured}[random.IntN(2)]
				if random.IntN(3) == 0 {
					require.NoError(t, y.ClearMark(ctx, id, mark, nil))
				} else {
					_, err := y.SetMark(ctx, ids[0], id, mark, nil)
					require.NoError(t, err)
				}
			}
		case 6:
			if heads[id] != "" && !gone[id] {
				require.NoError(t, y.SetSiteCrews(ctx, id, crews[:random.IntN(3)]))
			}
		case 7:
			if random.IntN(3) > 0 || heads[id] == "" {
				continue
			}
			if gone[id] {
				require.NoError(t, y.Undelete(ctx, id))
				delete(before, id)
				gone[id] = false
			} else {
				_, err := y.DeleteSite(ctx, ids[0], id)
				require.NoError(t, err)
				gone[id] = true
			}
		}
		if n%40 == 39 {
			compare()
		}
	}
	for id := range gone {
		if gone[id] {
			_, err := y.Purge(ctx, id)
			require.NoError(t, err)
		}
	}
	compare()
	found, err := y.Examine(ctx)
	require.NoError(t, err)
	require.True(t, found.Sound(), "%+v", found.Findings)

	// What is searched by can be lost without harm.
	yard.LoseSearch(t, y)
	found, err = y.Examine(ctx)
	require.NoError(t, err)
	require.False(t, found.Sound())
	_, left, err := y.Repair(ctx)
	require.NoError(t, err)
	require.True(t, left.Sound(), "%+v", left.Findings)
	compare()
	yard.SpoilSearch(t, y)
	found, err = y.Examine(ctx)
	require.NoError(t, err)
	require.Len(t, found.Findings, 1, "%+v", found.Findings)
	_, left, err = y.Repair(ctx)
	require.NoError(t, err)
	require.True(t, left.Sound(), "%+v", left.Findings)
	compare()
}
