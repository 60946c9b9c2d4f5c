package storage

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pegpour/engine/survey"
	"pegpour/storage/canonical"
	"pegpour/storage/demo"
)

const documentFolder = "../testdata/documents"

func readDocument(t testing.TB, name string) (*Document, []byte) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(documentFolder, name))
	if err != nil {
		t.Fatal(err)
	}
	d, err := Decode(text)
	if err != nil {
		t.Fatal(err)
	}
	return d, text
}

func encode(t testing.TB, d *Document) []byte {
	t.Helper()
	text, err := Encode(d)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// TestEveryVersionLoads reads the kept file of each version there ever was.
func TestEveryVersionLoads(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(documentFolder, "*.json"))
	if err != nil {
		t.Fatal(err)
	}
	names := make([]string, len(files))
	for i, file := range files {
		names[i] = filepath.Base(file)
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasPrefix(names[i], "shop") {
			s, err := DecodeShop(text)
			if err != nil {
				t.Errorf("%s: %v", names[i], err)
			} else if s.Version != newest(ShopFormat) {
				t.Errorf("%s: still version %d", names[i], s.Version)
			}
			continue
		}
		d, err := Decode(text)
		if err != nil {
			t.Errorf("%s: %v", names[i], err)
		} else if d.Version != newest(Format) {
			t.Errorf("%s: still version %d", names[i], d.Version)
		}
	}
	for kind, format := range map[string]string{"site": Format, "shop": ShopFormat} {
		for v := 1; v <= newest(format); v++ {
			if want := kind + "-v" + string(rune('0'+v)) + ".json"; !slices.Contains(names, want) {
				t.Errorf("no %s is kept", want)
			}
		}
	}
}

// TestNothingIsLost: decoding and encoding keeps all that the file holds, known
// or not, at every level; only identities are added.
func TestNothingIsLost(t *testing.T) {
	for _, name := range []string{"site-v1.json", "site-v1-unknown.json"} {
		d, text := readDocument(t, name)
		was, err := canonical.Parse(text, canonical.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		documentShape.identify(was)
		want, err := canonical.Marshal(was)
		if err != nil {
			t.Fatal(err)
		}
		got := encode(t, d)
		if !bytes.Equal(got, want) {
			t.Errorf("%s:\ngot  %s\nwant %s", name, got, want)
		}
		again, err := Decode(got)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(encode(t, again), got) {
			t.Errorf("%s: encoding is not stable", name)
		}
	}
}

func TestShopKeepsUnknown(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(documentFolder, "shop-v1.json"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := DecodeShop(text)
	if err != nil {
		t.Fatal(err)
	}
	e, err := SetShopRule(s, "strip.width", 230, "")
	if err != nil {
		t.Fatal(err)
	}
	n, err := ApplyShop(s, e)
	if err != nil {
		t.Fatal(err)
	}
	out, err := EncodeShop(n)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"font":"large"`, `"logo":"none"`, `"strip.width":230`} {
		if !strings.Contains(string(out), want) {
			t.Errorf("%s is missing in %s", want, out)
		}
	}
	p, err := n.Practice(&Document{Practice: map[string]float64{"strip.depth": 110}})
	if err != nil || p.StripWidth != 230 || p.StripDepth != 110 {
		t.Errorf("practice: %v, %v, %v", p.StripWidth, p.StripDepth, err)
	}
}

// TestCapitalsAreOtherNames: a name that differs in its capitals must not be
// read as the known one.
func TestCapitalsAreOtherNames(t *testing.T) {
	d, _ := readDocument(t, "site-v1-unknown.json")
	if w := d.Survey.Opening.Width; w.Size != 4000 || w.How != survey.ByTape {
		t.Errorf("width: %+v", w)
	}
}

func TestDecodeRefuses(t *testing.T) {
	good := `"format":"pegpour-site","version":1,"id":"x"`
	for _, c := range []struct{ name, in, path string }{
		{"empty", "", ""},
		{"null", "null", ""},
		{"array", "[]", ""},
		{"no format", `{"version":1,"id":"x"}`, "format"},
		{"shop", `{"format":"pegpour-shop","version":1,"id":"x"}`, "format"},
		{"no version", `{"format":"pegpour-site","id":"x"}`, "version"},
		{"version 0", `{"format":"pegpour-site","version":0,"id":"x"}`, "version"},
		{"version 1.5", `{"format":"pegpour-site","version":1.5,"id":"x"}`, "version"},
		{"no id", `{"format":"pegpour-site","version":1}`, "id"},
		{"words for a number", `{` + good + `,"survey":{"opening":{"width":{"size":"abc"}}}}`, "survey.opening.width.size"},
		{"number for a survey", `{` + good + `,"survey":7}`, "survey"},
		{"list for an object", `{` + good + `,"survey":{"opening":[]}}`, "survey.opening"},
		{"object for a list", `{` + good + `,"photos":{}}`, "photos"},
		{"number in a list", `{` + good + `,"photos":[7]}`, "photos"},
		{"tick that is none", `{` + good + `,"ticks":{"a":3}}`, "ticks"},
		{"twice", `{` + good + `,"id":"y"}`, ""},
		{"too deep", `{` + good + `,"x":` + strings.Repeat("[", 40) + strings.Repeat("]", 40) + `}`, ""},
		{"too large a number", `{` + good + `,"x":1e999}`, ""},
		{"too long", `{` + good + `,"x":"` + strings.Repeat("x", MaxDocumentBytes) + `"}`, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, err := Decode([]byte(c.in))
			var e *DecodeError
			if !errors.As(err, &e) {
				t.Fatalf("got %v, %v, want a DecodeError", d, err)
			}
			if e.Path != c.path && !strings.HasPrefix(e.Path, c.path+".") {
				t.Errorf("path %q, want %q (%v)", e.Path, c.path, err)
			}
		})
	}
}

func TestNewerVersionIsKept(t *testing.T) {
	in := []byte(`{"format":"pegpour-site","version":2,"id":"x","survey":"moved elsewhere"}`)
	_, err := Decode(in)
	var e *NewerError
	if !errors.As(err, &e) || e.Version != 2 || !bytes.Equal(e.Bytes, in) {
		t.Fatalf("got %v", err)
	}
}

func TestMigrationsRunInOrder(t *testing.T) {
	mark := func(s string) migration {
		return func(tree map[string]any) error {
			was, _ := tree["trail"].(string)
			tree["trail"] = was + s
			return nil
		}
	}
	migrations["test"] = []migration{mark("a"), mark("b"), mark("c")}
	defer delete(migrations, "test")
	for from, want := range map[int]string{1: "abc", 2: "bc", 4: ""} {
		tree, err := migrate(map[string]any{"version": float64(from)}, "test", from)
		if err != nil {
			t.Fatal(err)
		}
		if got, _ := tree["trail"].(string); got != want || tree["version"] != 4.0 {
			t.Errorf("from %d: %q, version %v", from, got, tree["version"])
		}
	}
	migrations["test"] = []migration{func(map[string]any) error { return errors.New("no") }}
	var e *DecodeError
	if _, err := migrate(map[string]any{}, "test", 1); !errors.As(err, &e) {
		t.Errorf("got %v", err)
	}
}

func TestNaNCannotBeKept(t *testing.T) {
	d := NewDocument("2026-01-01T00:00:00Z")
	d.Survey.Opening.Width = survey.Measured(math.NaN(), survey.ByTape)
	if _, err := Encode(d); err == nil {
		t.Error("NaN was written")
	}
	if _, err := SetTick(d, "a", true); err == nil {
		t.Error("an edit on it was made")
	}
}

func TestDemoSitesFit(t *testing.T) {
	for _, s := range demo.Sites() {
		d := NewDocument("2026-01-01T00:00:00Z")
		d.ID, d.Demo, d.Survey = s.ID, true, s.Survey
		back, err := Decode(encode(t, d))
		if err != nil {
			t.Fatal(err)
		}
		a, _ := json.Marshal(s.Survey)
		b, _ := json.Marshal(back.Survey)
		if !bytes.Equal(a, b) {
			t.Errorf("%s changed", s.ID)
		}
	}
}

func FuzzDecode(f *testing.F) {
	files, _ := filepath.Glob(filepath.Join(documentFolder, "*.json"))
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Add([]byte(`{"format":"pegpour-site","version":1,"id":"x","photos":[null,{"id":7},{"id":"a"},{"id":"a"}],"survey":{"runBack":{"obstructions":[{"id":""},null]}}}`))
	f.Fuzz(func(t *testing.T, in []byte) {
		if s, err := DecodeShop(in); err == nil {
			if _, err := EncodeShop(s); err != nil {
				t.Fatal(err)
			}
		}
		d, err := Decode(in)
		if err != nil {
			var bad *DecodeError
			var newer *NewerError
			if !errors.As(err, &bad) && !errors.As(err, &newer) {
				t.Fatalf("untyped error %v", err)
			}
			return
		}
		once := encode(t, d)
		again, err := Decode(once)
		if err != nil {
			t.Fatalf("does not read its own writing: %v\n%s", err, once)
		}
		if twice := encode(t, again); !bytes.Equal(once, twice) {
			t.Fatalf("not stable:\n%s\n%s", once, twice)
		}
	})
}

func BenchmarkDecode(b *testing.B) {
	d, _ := readDocument(b, "site-v1.json")
	text := encode(b, d)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Decode(text); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSetValueApplyEncode(b *testing.B) {
	d, _ := readDocument(b, "site-v1.json")
	b.ReportAllocs()
	for b.Loop() {
		e, err := SetValue(d, "opening.width", survey.Measured(4000, survey.ByTape))
		if err != nil {
			b.Fatal(err)
		}
		n, err := Apply(d, e)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := Encode(n); err != nil {
			b.Fatal(err)
		}
	}
}

func TestSummaryLine(t *testing.T) {
	for _, l := range []line{
		{Summary: Summary{ID: "a"}},
		{Summary: Summary{ID: "a", Name: "Ü", Address: "1, x", Client: "c", Created: "x", Changed: "y", Demo: true,
			Trashed: true, Photos: 3, Revision: "r", Condition: IsNewer}, PhotoIDs: []string{"p", "q"}},
	} {
		got, ok := readLineOf(l.text())
		if !ok || fmt.Sprint(got) != fmt.Sprint(l) {
			t.Errorf("got %+v, %v, want %+v", got, ok, l)
		}
	}
	l := line{Summary: Summary{ID: "a", Name: "with\x1fgap\nand line"}}
	if got, ok := readLineOf(l.text()); !ok || got.Name != "with gap and line" {
		t.Errorf("got %+v, %v", got, ok)
	}
	for _, bad := range []string{"", "{}", "2" + strings.Repeat(lineGap, 11),
		"1" + lineGap + "a" + strings.Repeat(lineGap, 10)} {
		if _, ok := readLineOf([]byte(bad)); ok {
			t.Errorf("%q was read", bad)
		}
	}
}
