package storage

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"pegpour/engine/survey"
)

// wander makes n random edits on d.
func wander(t testing.TB, r *rand.Rand, d *Document, n int) *Document {
	t.Helper()
	for range n {
		e, err := randomEdit(r, d)
		refusedBy(t, err)
		d = apply(t, d, e, nil)
	}
	return d
}

func merge(t testing.TB, base, ours, theirs *Document) (*Document, []Conflict) {
	t.Helper()
	d, conflicts, err := Merge(base, ours, theirs)
	if err != nil {
		t.Fatal(err)
	}
	return d, conflicts
}

func TestMergeLaws(t *testing.T) {
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 3))
		base := wander(t, r, NewDocument("2026-01-01T00:00:00Z"), 20)
		ours, theirs := wander(t, r, base, 8), wander(t, r, base, 8)
		same := func(what string, got *Document, conflicts []Conflict, want *Document) {
			t.Helper()
			if len(conflicts) > 0 || !bytes.Equal(encode(t, got), encode(t, want)) {
				t.Errorf("seed %d, %s: conflicts %v\ngot  %s\nwant %s", seed, what, conflicts, encode(t, got), encode(t, want))
			}
		}
		d, c := merge(t, base, ours, base)
		same("nothing theirs", d, c, ours)
		d, c = merge(t, base, base, theirs)
		same("nothing ours", d, c, theirs)
		d, c = merge(t, base, ours, ours)
		same("the same twice", d, c, ours)
		d, c = merge(t, nil, ours, ours)
		same("no base", d, c, ours)

		d, c = merge(t, base, ours, theirs)
		d2, c2 := merge(t, base, theirs, ours)
		if len(c) != len(c2) {
			t.Errorf("seed %d: %d conflicts one way, %d the other", seed, len(c), len(c2))
		}
		// Settled the same way, both sides end with the same bytes.
		for i := range c {
			if c[i].Path != c2[i].Path || string(c[i].Ours) != string(c2[i].Theirs) {
				t.Errorf("seed %d: %+v and %+v", seed, c[i], c2[i])
			}
			d, d2 = apply(t, d, c[i].Choose(false), nil), apply(t, d2, c2[i].Choose(true), nil)
		}
		if !bytes.Equal(encode(t, d), encode(t, d2)) {
			t.Errorf("seed %d: the two sides do not meet:\n%s\n%s", seed, encode(t, d), encode(t, d2))
		}
	}
}

func TestDiffGivesTheOther(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 5))
		start := NewDocument("2026-01-01T00:00:00Z")
		if seed%2 == 1 {
			start, _ = readDocument(t, "site-v1-unknown.json")
		}
		a := wander(t, r, start, 25)
		b := wander(t, r, a, 15)
		for _, pair := range [][2]*Document{{a, b}, {b, a}, {a, a}, {start, b}} {
			e, err := Diff(pair[0], pair[1])
			if err != nil {
				t.Fatal(err)
			}
			n := apply(t, pair[0], e, nil)
			if !bytes.Equal(encode(t, n), encode(t, pair[1])) {
				t.Fatalf("seed %d: %+v\ngot  %s\nwant %s", seed, e, encode(t, n), encode(t, pair[1]))
			}
			back, err := Revert(n, e)
			if err != nil || !bytes.Equal(encode(t, back), encode(t, pair[0])) {
				t.Fatalf("seed %d: a diff cannot be undone: %v", seed, err)
			}
		}
	}
}

func TestMergeByField(t *testing.T) {
	tape := func(size float64) survey.Value { return survey.Measured(size, survey.ByTape) }
	set := func(d *Document, path string, v survey.Value) *Document {
		e, err := SetValue(d, path, v)
		return apply(t, d, e, err)
	}
	add := func(d *Document, name string) *Document {
		e, err := AddObstruction(d, survey.Obstruction{Name: name})
		return apply(t, d, e, err)
	}
	names := func(d *Document) string {
		var all []string
		for _, o := range d.Survey.RunBack.Obstructions {
			all = append(all, o.Name)
		}
		return strings.Join(all, " ")
	}
	base := add(add(set(NewDocument("2026-01-01T00:00:00Z"), "opening.width", tape(4000)), "tree"), "pit")

	d, c := merge(t, base, set(base, "opening.width", tape(4010)), set(base, "gate.height", tape(1500)))
	if len(c) != 0 || d.Survey.Opening.Width.Size != 4010 || d.Survey.Gate.Height.Size != 1500 {
		t.Errorf("two fields: %+v, %v", d.Survey, c)
	}

	d, c = merge(t, base, set(base, "opening.width", tape(4010)),
		set(base, "opening.width", survey.Measured(4000, survey.ByLaser)))
	if len(c) != 1 || c[0].Path != "/survey/opening/width" || c[0].Name != "Width of the opening" && c[0].Name == "" ||
		d.Survey.Opening.Width.Size != 4010 || d.Survey.Opening.Width.How != survey.ByTape {
		t.Errorf("one field: %+v, %+v", d.Survey.Opening, c)
	}
	d = apply(t, d, c[0].Choose(true), nil)
	if d.Survey.Opening.Width.How != survey.ByLaser || d.Survey.Opening.Width.Size != 4000 {
		t.Errorf("a value is not one piece: %+v", d.Survey.Opening.Width)
	}

	d, c = merge(t, base, add(base, "tap"), add(base, "wall"))
	if len(c) != 0 || len(d.Survey.RunBack.Obstructions) != 4 || !strings.HasPrefix(names(d), "tree pit ") {
		t.Errorf("both added: %s, %v", names(d), c)
	}

	e, err := RemoveObstruction(base, 0)
	removed := apply(t, base, e, err)
	d, c = merge(t, base, removed, set(base, "runBack.obstructions.1.length", tape(600)))
	if o := d.Survey.RunBack.Obstructions; len(c) != 0 || names(d) != "pit" || o[0].Length.Size != 600 {
		t.Errorf("one removed, the other changed: %s, %v", names(d), c)
	}
	for _, swap := range []bool{false, true} {
		ours, theirs := removed, set(base, "runBack.obstructions.0.length", tape(700))
		if swap {
			ours, theirs = theirs, ours
		}
		d, c = merge(t, base, ours, theirs)
		if len(c) != 1 || names(d) != "tree pit" {
			t.Errorf("removed and changed: %s, %v", names(d), c)
			continue
		}
		if d = apply(t, d, c[0].Choose(swap), nil); names(d) != "pit" {
			t.Errorf("the removal was chosen: %s", names(d))
		}
	}

	late, early := *base, *base
	late.Changed, early.Changed = "2026-03-01T00:00:00Z", "2026-02-01T00:00:00Z"
	if d, c = merge(t, base, &early, &late); len(c) != 0 || d.Changed != late.Changed {
		t.Errorf("times: %s, %v", d.Changed, c)
	}
}

func TestRevisionNames(t *testing.T) {
	a := NameRevision([]byte("abc"))
	if want := "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"; string(
		a) != want { // FIPS 180-4, SHA-256 of "abc"
		t.Errorf("got %s", a)
	}
	b := NameRevision([]byte("b"))
	if NameRevision([]byte("c"), a, b) != NameRevision([]byte("c"), b, a, a, "") {
		t.Error("the order of parents matters")
	}
	if NameRevision([]byte("c"), a) == NameRevision([]byte("c"), b) ||
		NameRevision([]byte("c"), a) == NameRevision([]byte("c")) {
		t.Error("parents do not matter")
	}
}

func FuzzMerge(f *testing.F) {
	one, _ := readDocument(f, "site-v1.json")
	two, _ := readDocument(f, "site-v1-unknown.json")
	f.Add(encode(f, one), encode(f, two), encode(f, one))
	f.Add([]byte(fmt.Sprintf(`{"format":%q,"version":1,"id":"x","z":{"a":[1]},"photos":[{"id":"a"},{"id":"b"}]}`, Format)),
		[]byte(fmt.Sprintf(`{"format":%q,"version":1,"id":"x","z":{"a":[1],"b":null},"photos":[{"id":"b"},{"id":"a"}]}`,
			Format)),
		[]byte(fmt.Sprintf(`{"format":%q,"version":1,"id":"x","z":7,"photos":[{"id":"c"}]}`, Format)))
	f.Fuzz(func(t *testing.T, b, o, x []byte) {
		base, errB := Decode(b)
		ours, errO := Decode(o)
		theirs, errT := Decode(x)
		if errors.Join(errB, errO, errT) != nil {
			return
		}
		if _, _, err := Merge(base, ours, theirs); (err != nil) != (base.ID != ours.ID || theirs.ID != ours.ID) {
			t.Fatalf("sites %q, %q, %q: %v", base.ID, ours.ID, theirs.ID, err)
		}
		base.ID, theirs.ID = ours.ID, ours.ID
		d, conflicts, err := Merge(base, ours, theirs)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Decode(encode(t, d)); err != nil {
			t.Fatal(err)
		}
		for _, c := range conflicts {
			if _, err := Apply(d, c.Choose(true)); err != nil {
				t.Fatalf("%+v: %v", c, err)
			}
		}
		if _, err := Diff(ours, theirs); err != nil {
			t.Fatal(err)
		}
	})
}
