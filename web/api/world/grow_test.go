package world

import (
	"context"
	"fmt"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/replication"
)

// BenchmarkSyncOfMany measures what it takes to bring ten changed sites to the yard,
// on a phone that has many: it is to grow with the ten. In November 2026, with the yard's
// own work in it: 7 ms of 100 sites, 8 of 1,000, 20 of 10,000 (before the sync kept in
// memory what it looks at again: 14, 37 and 85); 0.6, 1.1 and 5.3 MB (0.9, 4.3, 44).
func BenchmarkSyncOfMany(b *testing.B) {
	for _, sites := range []int{100, 1000, 10_000} {
		b.Run(fmt.Sprint(sites), func(b *testing.B) {
			p, steps := phoneWithSites(b, sites), 0
			b.ReportAllocs()
			for b.Loop() {
				b.StopTimer()
				change(b, p, 10)
				b.StartTimer()
				steps += syncAll(b, p)
				b.StopTimer()
				allIn(b, p)
				b.StartTimer()
			}
			b.ReportMetric(float64(steps)/float64(b.N), "steps/op")
		})
	}
}

// BenchmarkFirstSync measures what it takes until all sites of a phone are in a new
// yard, for each of them.
func BenchmarkFirstSync(b *testing.B) {
	for _, sites := range []int{100, 1000} {
		b.Run(fmt.Sprint(sites), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				phoneWithSites(b, sites)
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*sites), "us/site")
		})
	}
}

func phoneWithSites(t testing.TB, sites int) *phone {
	folder, err := os.MkdirTemp("/dev/shm", "pegpour-many-")
	require.NoError(t, err)
	w := &world{folder: folder, counts: map[kind]int{}, quiet: true}
	w.newHouse(0)
	t.Cleanup(func() { w.houses[0].stop(); _ = os.RemoveAll(folder) })
	w.add()
	p := w.phones[0]
	for i := range sites {
		d := storage.NewDocument("2026-01-01T00:00:00Z")
		d.ID = fmt.Sprintf("site%05d", i)
		d.Survey.Site.Name = fmt.Sprint("Mill Lane ", i)
		_, err := p.store.Create(context.Background(), d)
		require.NoError(t, err)
	}
	syncAll(t, p)
	allIn(t, p)
	return p
}

func change(t testing.TB, p *phone, sites int) {
	for i := range sites {
		id := fmt.Sprintf("site%05d", i*7)
		l, err := p.store.Load(context.Background(), id)
		require.NoError(t, err)
		p.edits++
		e, err := storage.SetWords(l.Document, "site.client", fmt.Sprint("Client ", p.edits))
		require.NoError(t, err)
		_, err = p.store.Commit(context.Background(), id, e, l.Revision)
		require.NoError(t, err)
	}
}

// syncAll steps until nothing is left; the yard holds nobody up.
func syncAll(t testing.TB, p *phone) (steps int) {
	for more := true; more; steps++ {
		p.skew += time.Second
		p.w.yardSkew += time.Second
		var err error
		more, err = p.client.Step(context.Background())
		require.NoError(t, err)
	}
	return steps
}

// allIn wants all to be in the yard.
func allIn(t testing.TB, p *phone) {
	s, err := p.client.Status(context.Background())
	require.NoError(t, err)
	require.Zero(t, s.Waiting)
	for _, one := range s.Sites {
		require.Equal(t, replication.InYard, one.State)
	}
}

// BenchmarkPutOnHistory measures one more state of a site that has many already, and
// the question of a phone that is one step behind.
func BenchmarkPutOnHistory(b *testing.B) {
	for _, before := range []int{10, 1000, 5000} {
		b.Run(fmt.Sprint(before), func(b *testing.B) {
			p := phoneWithSites(b, 1)
			y, parent := p.house.yard, p.house.heads("site00000")[0]
			last := parent
			put := func(n int) {
				d := storage.NewDocument("2026-01-01T00:00:00Z")
				d.ID, d.Survey.Site.Name = "site00000", fmt.Sprint(n)
				text, err := storage.Encode(d)
				require.NoError(b, err)
				last, parent = parent, storage.NameRevision(text, parent)
				_, err = y.PutRevision(context.Background(), "d", d.ID, parent, []storage.Revision{last}, text)
				require.NoError(b, err)
			}
			for n := range before {
				put(n)
			}
			b.ReportAllocs()
			n := before
			for b.Loop() {
				n++
				put(n)
				_, err := y.Heads(context.Background(), "site00000", last)
				require.NoError(b, err)
			}
		})
	}
}
