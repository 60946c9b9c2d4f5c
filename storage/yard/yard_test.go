package yard_test

import (
	"bytes"
	"context"
	"math/rand/v2"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/storage/yard/yardtest"
)

// document returns the canonical bytes of a site whose fields are set.
func document(t testing.TB, id string, set func(*storage.Document)) []byte {
	t.Helper()
	d := &storage.Document{ID: id, Created: "2026-01-01T00:00:00Z", Changed: "2026-01-01T00:00:00Z"}
	set(d)
	text, err := storage.Encode(d)
	require.NoError(t, err)
	return text
}

func named(name string) func(*storage.Document) {
	return func(d *storage.Document) { d.Survey.Site.Name = name }
}

func put(t testing.TB, y *yard.Yard, site string, text []byte, parents ...storage.Revision) (storage.Revision,
	yard.Stored) {
	t.Helper()
	name := storage.NameRevision(text, parents...)
	s, err := y.PutRevision(t.Context(), "device", site, name, parents, text)
	require.NoError(t, err)
	return name, s
}

// suite is what holds of every yard. open opens the same yard again.
var suite = []struct {
	name string
	test func(t *testing.T, open func(yard.Options) *yard.Yard)
}{
	{"Revisions", revisions},
	{"AnyOrder", anyOrder},
	{"MergedAndConflicting", merging},
	{"Refused", refused},
	{"Listing", listing},
	{"OfficeList", officeList},
	{"FoundAsByReading", foundAsByReading},
	{"Far", far},
	{"FarOfMany", farOfMany},
	{"Photos", photos},
	{"Pairing", pairing},
	{"CodesAndTheClock", codesAndTheClock},
	{"NamesAtTheDoor", namesAtTheDoor},
	{"WaitingEnds", waitingEnds},
	{"PhotosClaimed", photosClaimed},
	{"RefusalsAreCounted", refusalsAreCounted},
	{"Quotas", quotas},
	{"Deleting", deleting},
	{"Person", people},
	{"PhotosNobodyShows", photosNobodyShows},
	{"BackUp", backUp},
	{"NoTraceOfKeys", noTraceOfKeys},
	{"Together", together},
	{"Faults", faults},
}

func TestSQLite(t *testing.T) {
	for _, c := range suite {
		t.Run(c.name, func(t *testing.T) {
			folder := filepath.Join(t.TempDir(), "with space ? #")
			c.test(t, func(o yard.Options) *yard.Yard { return opened(t, folder, o) })
		})
	}
}

func TestPostgres(t *testing.T) {
	database := yardtest.Postgres(t)
	for _, c := range suite {
		t.Run(c.name, func(t *testing.T) {
			address := database()
			c.test(t, func(o yard.Options) *yard.Yard { return opened(t, address, o) })
		})
	}
	t.Run("BackUpBothWays", func(t *testing.T) { bothWays(t, database) })
}

func opened(t testing.TB, where string, o yard.Options) *yard.Yard {
	t.Helper()
	y, err := yard.Open(context.Background(), where, o)
	require.NoError(t, err)
	t.Cleanup(func() { _ = y.Close() })
	return y
}

func revisions(t *testing.T, open func(yard.Options) *yard.Yard) {
	y := open(yard.Options{})
	one := document(t, "s1", named("One"))
	a, s := put(t, y, "s1", one)
	require.Equal(t, yard.Stored{New: true, Heads: []storage.Revision{a}}, s)
	_, s = put(t, y, "s1", one)
	require.Equal(t, yard.Stored{Heads: []storage.Revision{a}}, s, "again changes nothing")
	b, s := put(t, y, "s1", document(t, "s1", named("Two")), a)
	require.Equal(t, []storage.Revision{b}, s.Heads)

	require.NoError(t, y.Close())
	y = open(yard.Options{})
	text, past, err := y.Revision(t.Context(), "s1", a)
	require.NoError(t, err)
	require.Equal(t, string(one), string(text))
	require.Equal(t, "device", past.Device)
	heads, err := y.Heads(t.Context(), "s1", a)
	require.NoError(t, err)
	require.Equal(t, []yard.Head{{Revision: b, Common: []storage.Revision{a}}}, heads)
	_, _, err = y.Revision(t.Context(), "other", a)
	require.ErrorIs(t, err, yard.ErrNotFound)
	_, err = y.Heads(t.Context(), "other", a)
	require.ErrorIs(t, err, yard.ErrNotFound)
	changes, turn, newest, err := y.Changes(t.Context(), yard.Device{}, 0, 10)
	require.NoError(t, err)
	require.Equal(t, []yard.Change{{Site: "s1", Turn: turn, Heads: []storage.Revision{b}}}, changes)
	require.Equal(t, turn, newest)
	changes, same, _, err := y.Changes(t.Context(), yard.Device{}, turn, 10)
	require.NoError(t, err)
	require.Empty(t, changes)
	require.Equal(t, turn, same)
}

// anyOrder sends one history in random orders, with repeats, and wants the
// same heads.
func anyOrder(t *testing.T, open func(yard.Options) *yard.Yard) {
	y := open(yard.Options{})
	for seed := range uint64(8) {
		random := rand.New(rand.NewPCG(seed, 1))
		site := "s" + string(rune('a'+seed))
		type sent struct {
			text    []byte
			parents []storage.Revision
			name    storage.Revision
		}
		var all []sent
		for n := range 12 {
			r := sent{text: document(t, site, func(d *storage.Document) {
				d.Survey.Site.Name = "N" // conflicts with nothing
				d.Survey.Site.Client = string(rune('a' + n))
			})}
			if n > 0 {
				r.parents = append(r.parents, all[n-1].name)
			}
			if n > 4 && n%3 == 0 {
				r.parents = append(r.parents, all[n-3].name)
			}
			r.name = storage.NameRevision(r.text, r.parents...)
			all = append(all, r)
		}
		order := append(random.Perm(len(all)), random.Perm(len(all))[:5]...)
		var last yard.Stored
		for _, i := range order {
			r := all[i]
			s, err := y.PutRevision(t.Context(), "d", site, r.name, r.parents, r.text)
			require.NoError(t, err)
			last = s
		}
		require.Equal(t, []storage.Revision{all[len(all)-1].name}, last.Heads, "seed %d", seed)
		past, err := y.History(t.Context(), site, 0, 0)
		require.NoError(t, err)
		require.Len(t, past, len(all))
	}
}

func merging(t *testing.T, open func(yard.Options) *yard.Yard) {
	y, second := open(yard.Options{}), open(yard.Options{})
	a, _ := put(t, y, "s", document(t, "s", named("N")))
	left, _ := put(t, y, "s",
		document(t, "s", func(d *storage.Document) { d.Survey.Site.Name, d.Survey.Site.Client = "N", "C" }), a)
	_, s := put(t, second, "s",
		document(t, "s", func(d *storage.Document) { d.Survey.Site.Name, d.Survey.Site.Address = "N", "A" }), a)
	require.Len(t, s.Heads, 1, "merged by field")
	text, past, err := y.Revision(t.Context(), "s", s.Heads[0])
	require.NoError(t, err)
	require.Equal(t, yard.ByYard, past.Device)
	require.Contains(t, past.Parents, left)
	d, err := storage.Decode(text)
	require.NoError(t, err)
	require.Equal(t, []string{"N", "C", "A"}, []string{d.Survey.Site.Name, d.Survey.Site.Client, d.Survey.Site.Address})

	x, _ := put(t, y, "s", document(t, "s", named("X")), s.Heads[0])
	z, s := put(t, second, "s", document(t, "s", named("Z")), s.Heads[0])
	require.ElementsMatch(t, []storage.Revision{x, z}, s.Heads, "a conflict keeps both")
	settled, s := put(t, y, "s", document(t, "s", named("X")), x, z)
	require.Equal(t, []storage.Revision{settled}, s.Heads)
}

func refused(t *testing.T, open func(yard.Options) *yard.Yard) {
	y := open(yard.Options{})
	good := document(t, "s", named("N"))
	a, _ := put(t, y, "s", good)
	other, _ := put(t, y, "t", document(t, "t", named("N")))
	for name, c := range map[string]struct {
		site    string
		name    storage.Revision
		parents []storage.Revision
		text    []byte
	}{
		"name of other bytes": {"s", a, nil, append([]byte(" "), good...)},
		"other site":          {"u", a, nil, good},
		"not canonical":       {"s", storage.NameRevision(append([]byte(" "), good...)), nil, append([]byte(" "), good...)},
		"no JSON":             {"s", storage.NameRevision([]byte("x")), nil, []byte("x")},
		"no document":         {"s", storage.NameRevision([]byte("{}")), nil, []byte("{}")},
		"parent no name":      {"s", storage.NameRevision(good, "../x"), []storage.Revision{"../x"}, good},
		"parent elsewhere":    {"s", storage.NameRevision(good, other), []storage.Revision{other}, good},
	} {
		_, err := y.PutRevision(t.Context(), "d", c.site, c.name, c.parents, c.text)
		var invalid *yard.InvalidError
		require.ErrorAs(t, err, &invalid, name)
	}
	newer := bytes.Replace(good, []byte(`"version":1`), []byte(`"version":99`), 1)
	_, s := put(t, y, "s", newer, a)
	require.Len(t, s.Heads, 1, "a newer document is kept as it is")
	_, s = put(t, y, "s", document(t, "s", named("M")), a)
	require.Len(t, s.Heads, 2, "and not merged by a program that cannot read it")
}

func listing(t *testing.T, open func(yard.Options) *yard.Yard) {
	y := open(yard.Options{})
	for _, n := range []string{"Hill Road 100%", "Mill Lane", "hill_top"} {
		put(t, y, n, document(t, n, named(n)))
	}
	ids := func(search string, before int64, limit int) (out []string, last int64) {
		sites, err := y.Sites(t.Context(), yard.Query{Search: search, Before: before, Limit: limit})
		require.NoError(t, err)
		for _, s := range sites {
			out, last = append(out, s.ID), s.Turn
		}
		return out, last
	}
	all, _ := ids("", 0, 0)
	require.Equal(t, []string{"hill_top", "Mill Lane", "Hill Road 100%"}, all, "the last received first")
	first, turn := ids("", 0, 2)
	rest, _ := ids("", turn, 2)
	require.Equal(t, all, append(first, rest...))
	for search, want := range map[string][]string{
		"HILL": {"hill_top", "Hill Road 100%"}, "100%": {"Hill Road 100%"}, "l_t": {"hill_top"},
		"road hill": {"Hill Road 100%"}, "'; DROP": nil,
	} {
		got, _ := ids(search, 0, 0)
		require.Equal(t, want, got, search)
	}
	for _, device := range []string{"d", "e"} {
		m, err := y.SetMark(t.Context(), device, "hill_top", yard.Quoted, nil)
		require.NoError(t, err)
		require.Equal(t, "d", m.Device, "again changes nothing")
	}
	site, err := y.Site(t.Context(), "hill_top")
	require.NoError(t, err)
	require.Len(t, site.Marks, 1)
	require.Equal(t, "d", site.Marks[0].Device)
	require.NoError(t, y.ClearMark(t.Context(), "hill_top", yard.Quoted, nil))
	_, err = y.SetMark(t.Context(), "d", "none", yard.Quoted, nil)
	require.ErrorIs(t, err, yard.ErrNotFound)
	_, err = y.SetMark(t.Context(), "d", "hill_top", "sold", nil)
	require.Error(t, err)
	require.NoError(t, y.Note(t.Context(), yard.Entry{Device: "d", Action: "x\ny"}))
	log, err := y.Audit(t.Context(), 0, 0)
	require.NoError(t, err)
	require.Equal(t, "x y", log[0].Action, "a line stays a line")
}

func FuzzPutRevision(f *testing.F) {
	y, err := yard.Open(context.Background(), f.TempDir(), yard.Options{NotDurable: true})
	if err != nil {
		f.Fatal(err)
	}
	f.Cleanup(func() { _ = y.Close() })
	f.Add("s", []byte(`{"format":"pegpour-site","id":"s","version":1}`))
	f.Add("s", []byte(`{"format":"pegpour-site","id":"s","survey":{"site":[]},"version":1}`))
	f.Fuzz(func(t *testing.T, site string, text []byte) {
		name := storage.NameRevision(text)
		if _, err := y.PutRevision(t.Context(), "d", site, name, nil, text); err != nil {
			return
		}
		got, _, err := y.Revision(t.Context(), site, name)
		if err != nil || !bytes.Equal(got, text) {
			t.Errorf("was kept and is not here: %v", err)
		}
	})
}
