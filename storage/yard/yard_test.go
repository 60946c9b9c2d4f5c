package yard_test

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/color"
	"image/png"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

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

func put(t testing.TB, y *yard.Yard, site string, text []byte, parents ...storage.Revision) (storage.Revision, yard.Stored) {
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
	{"Photos", photos},
	{"Pairing", pairing},
	{"BackUp", backUp},
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
	changes, turn, newest, err := y.Changes(t.Context(), 0, 10)
	require.NoError(t, err)
	require.Equal(t, []yard.Change{{Site: "s1", Turn: turn, Heads: []storage.Revision{b}}}, changes)
	require.Equal(t, turn, newest)
	changes, same, _, err := y.Changes(t.Context(), turn, 10)
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
	left, _ := put(t, y, "s", document(t, "s", func(d *storage.Document) { d.Survey.Site.Name, d.Survey.Site.Client = "N", "C" }), a)
	_, s := put(t, second, "s", document(t, "s", func(d *storage.Document) { d.Survey.Site.Name, d.Survey.Site.Address = "N", "A" }), a)
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
		"HILL": {"hill_top", "Hill Road 100%"}, "100%": {"Hill Road 100%"}, "l_t": {"hill_top"}, "road hill": {"Hill Road 100%"}, "'; DROP": nil,
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

// picture is a PNG whose pixels cannot be packed.
func picture(t testing.TB, side int) []byte {
	t.Helper()
	random := rand.New(rand.NewPCG(uint64(side), 2))
	m := image.NewRGBA(image.Rect(0, 0, side, side))
	for i := range m.Pix {
		m.Pix[i] = uint8(random.Uint32())
	}
	m.Set(0, 0, color.White)
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, m))
	return b.Bytes()
}

func photos(t *testing.T, open func(yard.Options) *yard.Yard) {
	y := open(yard.Options{})
	ctx := t.Context()
	data := picture(t, 64)
	id, size := storage.PhotoID(data), int64(len(data))
	_, err := y.Photo(ctx, id)
	require.ErrorIs(t, err, yard.ErrNotFound)
	p, err := y.PutPiece(ctx, "d", id, 0, size, data[:1000])
	require.NoError(t, err)
	require.EqualValues(t, 1000, p.Have)
	p, err = y.PutPiece(ctx, "d", id, 0, size, data[:1000])
	require.NoError(t, err, "a piece again")
	require.EqualValues(t, 1000, p.Have)
	var offset *yard.OffsetError
	for _, start := range []int64{500, 1001} {
		_, err = y.PutPiece(ctx, "d", id, start, size, data[start:start+1000])
		require.ErrorAs(t, err, &offset)
		require.EqualValues(t, 1000, offset.Have)
	}
	y = open(yard.Options{})
	_, _, err = y.PhotoBytes(ctx, id)
	require.ErrorIs(t, err, yard.ErrNotFound, "not all of it is here")
	p, err = y.PutPiece(ctx, "d", id, 1000, size, data[1000:])
	require.NoError(t, err)
	require.Equal(t, yard.PhotoState{ID: id, Type: "image/png", Size: size, Have: size, Complete: true, Width: 64, Height: 64}, p)
	_, got, err := y.PhotoBytes(ctx, id)
	require.NoError(t, err)
	require.Equal(t, data, got)

	bad := storage.PhotoID([]byte("other"))
	_, err = y.PutPiece(ctx, "d", bad, 0, size, data)
	var digest *yard.DigestError
	require.ErrorAs(t, err, &digest)
	_, err = y.Photo(ctx, bad)
	require.ErrorIs(t, err, yard.ErrNotFound)
	text := []byte("<script>")
	_, err = y.PutPiece(ctx, "d", storage.PhotoID(text), 0, int64(len(text)), text)
	var invalid *yard.InvalidError
	require.ErrorAs(t, err, &invalid)
	for _, c := range []struct{ start, size int64 }{{-1, 10}, {0, yard.MaxPhotoBytes + 1}, {0, 3}, {0, 0}} {
		_, err = y.PutPiece(ctx, "d", id, c.start, c.size, []byte("1234"))
		require.ErrorAs(t, err, &invalid)
	}
}

func pairing(t *testing.T, open func(yard.Options) *yard.Yard) {
	now := time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)
	y := open(yard.Options{Now: func() time.Time { return now }})
	ctx := t.Context()
	code, expires, err := y.NewCode(ctx, yard.Crew)
	require.NoError(t, err)
	require.Equal(t, now.Add(yard.CodeLife), expires)
	_, _, err = y.Pair(ctx, "AAAAA-AAAAA", "Phone")
	require.ErrorIs(t, err, yard.ErrRefused)
	d, token, err := y.Pair(ctx, " "+string(bytes.ToLower([]byte(code)))+" ", "Phone")
	require.NoError(t, err, "as a person types it")
	require.Equal(t, yard.Crew, d.Role)
	_, _, err = y.Pair(ctx, code, "Phone")
	require.ErrorIs(t, err, yard.ErrRefused, "only once")
	got, err := y.Device(ctx, token)
	require.NoError(t, err)
	require.Equal(t, d.ID, got.ID)
	for _, wrong := range []string{"", token + "x", d.ID} {
		_, err = y.Device(ctx, wrong)
		require.ErrorIs(t, err, yard.ErrRefused)
	}
	require.NoError(t, y.Withdraw(ctx, d.ID))
	_, err = y.Device(ctx, token)
	require.ErrorIs(t, err, yard.ErrRefused)
	require.ErrorIs(t, y.Withdraw(ctx, "none"), yard.ErrNotFound)

	late, _, err := y.NewCode(ctx, yard.Office)
	require.NoError(t, err)
	now = now.Add(yard.CodeLife + time.Second)
	_, _, err = y.Pair(ctx, late, "Desk")
	require.ErrorIs(t, err, yard.ErrRefused, "too late")
	_, _, err = y.NewCode(ctx, "king")
	require.Error(t, err)
}

func backUp(t *testing.T, open func(yard.Options) *yard.Yard) {
	y := open(yard.Options{})
	ctx := t.Context()
	a, _ := put(t, y, "s", document(t, "s", named("N")))
	data := picture(t, 20)
	_, err := y.PutPiece(ctx, "d", storage.PhotoID(data), 0, int64(len(data)), data)
	require.NoError(t, err)
	code, _, err := y.NewCode(ctx, yard.Crew)
	require.NoError(t, err)
	_, token, err := y.Pair(ctx, code, "Phone")
	require.NoError(t, err)

	file := filepath.Join(t.TempDir(), "back up.sqlite")
	stop := make(chan struct{})
	ended := make(chan struct{})
	go func() { // while running
		defer close(ended)
		for n := 0; ; n++ {
			select {
			case <-stop:
				return
			default:
				text := document(t, "busy", func(d *storage.Document) { d.Notes = []storage.Note{{ID: string(rune('a' + n%26)), Text: "x"}} })
				_, _ = y.PutRevision(ctx, "d", "busy", storage.NameRevision(text), nil, text)
			}
		}
	}()
	err = y.BackUp(ctx, file)
	close(stop)
	<-ended
	require.NoError(t, err)
	require.Error(t, y.BackUp(ctx, file), "nothing is written over")

	folder := filepath.Join(t.TempDir(), "new")
	require.NoError(t, yard.Restore(ctx, file, folder))
	require.Error(t, yard.Restore(ctx, file, folder))
	r := opened(t, folder, yard.Options{})
	_, _, err = r.Revision(ctx, "s", a)
	require.NoError(t, err)
	_, got, err := r.PhotoBytes(ctx, storage.PhotoID(data))
	require.NoError(t, err)
	require.Equal(t, data, got)
	_, err = r.Device(ctx, token)
	require.NoError(t, err)

	plain := filepath.Join(t.TempDir(), "plain.sqlite")
	require.NoError(t, y.BackUpWithoutKeys(ctx, plain))
	folder = filepath.Join(t.TempDir(), "plain")
	require.NoError(t, yard.Restore(ctx, plain, folder))
	r = opened(t, folder, yard.Options{})
	_, err = r.Device(ctx, token)
	require.ErrorIs(t, err, yard.ErrRefused)

	whole, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NotContains(t, string(whole), token, "no key in the file")
	require.NotContains(t, string(whole), code)
	for name, content := range map[string][]byte{"short": whole[:len(whole)/2], "text": []byte("not a database at all"), "empty": nil} {
		bad := filepath.Join(t.TempDir(), name)
		require.NoError(t, os.WriteFile(bad, content, 0o600))
		require.Error(t, yard.Restore(ctx, bad, filepath.Join(t.TempDir(), "x")), name)
	}
}

// bothWays carries a yard from PostgreSQL to SQLite and back.
func bothWays(t *testing.T, database func() string) {
	ctx := t.Context()
	y := opened(t, database(), yard.Options{})
	a, _ := put(t, y, "s", document(t, "s", named("N")))
	file := filepath.Join(t.TempDir(), "b.sqlite")
	require.NoError(t, y.BackUp(ctx, file))
	to := database()
	require.NoError(t, yard.Restore(ctx, file, to))
	r := opened(t, to, yard.Options{})
	want, err := y.Sites(ctx, yard.Query{})
	require.NoError(t, err)
	got, err := r.Sites(ctx, yard.Query{})
	require.NoError(t, err)
	require.Equal(t, want, got)
	b, s := put(t, r, "s", document(t, "s", named("M")), a)
	require.Equal(t, []storage.Revision{b}, s.Heads)
	require.Error(t, yard.Restore(ctx, file, to), "not into one that holds something")
}

// faults stops a change at each of its points: before the commit nothing was
// done, after it everything, and doing it again is right in either case.
func faults(t *testing.T, open func(yard.Options) *yard.Yard) {
	broken := errors.New("broken")
	at := ""
	y := open(yard.Options{Fault: func(point string) error {
		if point == at {
			return broken
		}
		return nil
	}})
	for _, point := range []string{"begin", "commit", "committed"} {
		text := document(t, point, named(point))
		name := storage.NameRevision(text)
		at = point
		_, err := y.PutRevision(t.Context(), "d", point, name, nil, text)
		require.ErrorIs(t, err, broken)
		at = ""
		_, _, err = y.Revision(t.Context(), point, name)
		require.Equal(t, point == "committed", err == nil)
		_, s := put(t, y, point, text)
		require.Equal(t, []storage.Revision{name}, s.Heads)
	}
}

func TestSQLiteFullDisk(t *testing.T) {
	folder := t.TempDir()
	y := opened(t, folder, yard.Options{MaxPages: 60})
	var kept []storage.Revision
	var parents []storage.Revision
	for n := range 100 {
		text := document(t, "s", func(d *storage.Document) {
			d.Survey.Site.Name = string(bytes.Repeat([]byte{byte('a' + n%26)}, 4000))
		})
		name := storage.NameRevision(text, parents...)
		if _, err := y.PutRevision(t.Context(), "d", "s", name, parents, text); err != nil {
			require.ErrorContains(t, err, "full")
			break
		}
		kept, parents = append(kept, name), []storage.Revision{name}
	}
	require.NotEmpty(t, kept)
	require.Less(t, len(kept), 100)
	require.NoError(t, y.Close())
	y = opened(t, folder, yard.Options{})
	for _, name := range kept {
		_, _, err := y.Revision(t.Context(), "s", name)
		require.NoError(t, err, "what was acknowledged is here")
	}
}

func FuzzCheckPhoto(f *testing.F) {
	f.Add([]byte("RIFF\x00\x00\x00\x00WEBPVP8X\x00\x00\x00\x00\x00\x00\x00\x00\x01\x00\x00\x01\x00\x00"))
	f.Add([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x7f\xff\xff\xff\x7f\xff\xff\xff\x08\x06\x00\x00\x00"))
	f.Add([]byte("\xff\xd8\xff\xc0\x00\x11\x08\xff\xff\xff\xff\x03"))
	f.Fuzz(func(t *testing.T, data []byte) {
		kind, w, h, err := yard.CheckPhoto(data)
		if err == nil && (kind == "" || w < 1 || h < 1 || w*h > yard.MaxPhotoPixels) {
			t.Errorf("%q %d x %d was let through", kind, w, h)
		}
	})
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
