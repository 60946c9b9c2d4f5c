package yard

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/engine/progress"
)

// manySites is a yard with so many sites of fifty crews, a third quoted, a third poured, as
// many at each step, and of every five hundredth it is not known.
func manySites(t testing.TB, sites int) *Yard {
	t.Helper()
	y, err := Open(t.Context(), t.TempDir(), Options{NotDurable: true})
	require.NoError(t, err)
	t.Cleanup(func() { _ = y.Close() })
	require.NoError(t, y.update(t.Context(), func(s session) error {
		for n := range 50 {
			if err := s.exec(`INSERT INTO devices (id, name, role, token, created, seen, withdrawn, crew)
				VALUES (?, ?, 'crew', ?, '', '', '', ?)`, "d"+strconv.Itoa(n), "Phone "+strconv.Itoa(n), "t"+strconv.Itoa(n),
				"Crew "+strconv.Itoa(n)); err != nil {
				return err
			}
		}
		for n := range sites {
			id := "s" + strconv.Itoa(n)
			line := fmt.Sprintf("mill lane %d oak street town %d client %d", n, n%300, n%5000)
			if err := s.exec(`INSERT INTO sites (id, name, address, client, search, created, changed, photos, received, turn, device,
				far, far_turn) VALUES (?, ?, '', '', ?, '', '', 0, '', ?, ?, ?, ?)`, id, "Mill Lane "+strconv.Itoa(n), line+" "+id, n+1,
				"d"+strconv.Itoa(n%50), n/5%int(progress.Steps), n+min(n%500, 1)); err != nil {
				return err
			}
			if err := s.exec("INSERT INTO heads (site, name) VALUES (?, ?)", id, id); err != nil {
				return err
			}
			if n%3 > 0 {
				mark := map[int]string{1: Quoted, 2: Poured}[n%3]
				if err := s.exec("INSERT INTO marks (site, mark, at, device) VALUES (?, ?, '', '')", id, mark); err != nil {
					return err
				}
			}
		}
		return s.exec("UPDATE counters SET value = ? WHERE name = 'turn'", sites+1)
	}))
	return y
}

// listings are what an office asks for.
var listings = map[string]Query{
	"first page":    {},
	"deep page":     {Before: 1000},
	"a common word": {Search: "mill"},
	"a rare word":   {Search: "lane 4711"},
	"nothing":       {Search: "zebra"},
	"one state":     {State: StateQuoted},
	"one step":      {Far: "poured"},
	"a step, deep":  {Far: "poured", Before: 1000},
	"step and word": {Far: "tested", Search: "lane 4711"},
	"not known":     {Far: FarUnknown},
	"one crew":      {Crew: "Crew 7", State: StatePoured},
	"by a phone":    {Search: "phone 33"},
}

// The office's list stays quick with fifty thousand sites, whatever is looked for; so does
// its work by crew.
func TestFiftyThousandSites(t *testing.T) {
	if testing.Short() {
		t.Skip("fills a large yard")
	}
	y := manySites(t, 50_000)
	for name, q := range listings {
		q.Limit = 50
		start := time.Now()
		_, err := y.Sites(t.Context(), q)
		require.NoError(t, err)
		took := time.Since(start)
		t.Logf("%s: %v", name, took)
		require.Less(t, took, 2*time.Second, name)
	}
	least := func(q Query) time.Duration {
		q.Limit = 50
		shortest := time.Hour
		for range 5 {
			start := time.Now()
			_, err := y.Sites(t.Context(), q)
			require.NoError(t, err)
			shortest = min(shortest, time.Since(start))
		}
		return shortest
	}
	for _, name := range []string{"a rare word", "nothing"} { // an index is asked, not each site
		indexed := least(listings[name])
		back := FewFound(-1)
		read := least(listings[name])
		back()
		t.Logf("%s: %v by index, %v by reading", name, indexed, read)
		require.Less(t, indexed, read, name)
	}
	start := time.Now()
	work, err := y.WorkByCrew(t.Context())
	require.NoError(t, err)
	t.Logf("work by crew: %v", time.Since(start))
	require.Len(t, work, 50)
	sum := 0
	for _, w := range work {
		sum += w.None + w.Quoted + w.Poured
	}
	require.Equal(t, 50_000, sum)
}

func BenchmarkSites(b *testing.B) {
	for _, sites := range []int{1_000, 10_000, 50_000} {
		y := manySites(b, sites)
		for name, q := range listings {
			q.Limit = 50
			b.Run(fmt.Sprint(sites, "/", name), func(b *testing.B) {
				for b.Loop() {
					if _, err := y.Sites(b.Context(), q); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// A connection keeps what it prepared: not one statement for each length of a list.
func TestFewStatementsAreKept(t *testing.T) {
	y := manySites(t, 300)
	for limit := 1; limit <= 300; limit++ {
		_, err := y.Sites(t.Context(), Query{Limit: limit, Search: "mill"})
		require.NoError(t, err)
		_, _, _, err = y.Changes(t.Context(), Device{}, int64(limit), limit)
		require.NoError(t, err)
	}
	c, err := y.reading.Conn(t.Context())
	require.NoError(t, err)
	defer c.Close()
	require.NoError(t, c.Raw(func(on any) error {
		lists := 0
		for query := range on.(*preparedConn).idle {
			if strings.Contains(query, " IN (?") {
				lists++
			}
		}
		require.Positive(t, lists, "nothing is kept: the test shows nothing")
		require.Less(t, lists, 60)
		return nil
	}))
}
