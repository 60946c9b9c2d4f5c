package canonical

import (
	"bytes"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"
)

// Source: RFC 8785, Appendix B (read in three public implementations' tests,
// which agree).
var appendixB = []struct {
	bits uint64
	want string
}{
	{0x0000000000000000, "0"},
	{0x8000000000000000, "0"},
	{0x0000000000000001, "5e-324"},
	{0x8000000000000001, "-5e-324"},
	{0x7fefffffffffffff, "1.7976931348623157e+308"},
	{0xffefffffffffffff, "-1.7976931348623157e+308"},
	{0x4340000000000000, "9007199254740992"},
	{0xc340000000000000, "-9007199254740992"},
	{0x4430000000000000, "295147905179352830000"},
	{0x44b52d02c7e14af5, "9.999999999999997e+22"},
	{0x44b52d02c7e14af6, "1e+23"},
	{0x44b52d02c7e14af7, "1.0000000000000001e+23"},
	{0x444b1ae4d6e2ef4e, "999999999999999700000"},
	{0x444b1ae4d6e2ef4f, "999999999999999900000"},
	{0x444b1ae4d6e2ef50, "1e+21"},
	{0x3eb0c6f7a0b5ed8c, "9.999999999999997e-7"},
	{0x3eb0c6f7a0b5ed8d, "0.000001"},
	{0x41b3de4355555553, "333333333.3333332"},
	{0x41b3de4355555554, "333333333.33333325"},
	{0x41b3de4355555555, "333333333.3333333"},
	{0x41b3de4355555556, "333333333.3333334"},
	{0x41b3de4355555557, "333333333.33333343"},
	{0xbecbf647612f3696, "-0.0000033333333333333333"},
	{0x43143ff3c1cb0959, "1424953923781206.2"},
}

func TestNumbers(t *testing.T) {
	for _, c := range appendixB {
		t.Run("RFC8785_B/"+c.want, func(t *testing.T) {
			got, err := Marshal(math.Float64frombits(c.bits))
			if err != nil || string(got) != c.want {
				t.Errorf("%016x: got %s, %v, want %s", c.bits, got, err, c.want)
			}
		})
	}
	for _, bad := range []any{math.NaN(), math.Inf(1), math.Inf(-1), "\xff", 3, []any{math.NaN()},
		map[string]any{"\xff": true}} {
		if _, err := Marshal(bad); !errors.Is(err, ErrUnwritable) {
			t.Errorf("%v: got %v, want ErrUnwritable", bad, err)
		}
	}
}

func TestDocuments(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{
			"RFC8785_3.2.2",
			`{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
			  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
			  "literals": [null, true, false]}`,
			"{\"literals\":[null,true,false],\"numbers\":[333333333.3333333,1e+30,4.5,0.002,1e-27],\"string\":\"€$\\u000f\\nA'B\\\"\\\\\\\\\\\"/\"}",
		},
		{
			"RFC8785_3.2.3",
			`{"\u20ac": "Euro Sign", "\r": "Carriage Return", "\ufb33": "Hebrew Letter Dalet With Dagesh",
			  "1": "One", "\ud83d\ude00": "Emoji: Grinning Face", "\u0080": "Control",
			  "\u00f6": "Latin Small Letter O With Diaeresis"}`,
			"{\"\\r\":\"Carriage Return\",\"1\":\"One\",\"\u0080\":\"Control\",\"ö\":\"Latin Small Letter O With Diaeresis\",\"€\":\"Euro Sign\",\"😀\":\"Emoji: Grinning Face\",\"\ufb33\":\"Hebrew Letter Dalet With Dagesh\"}",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			v, err := Parse([]byte(c.in), Limits{})
			if err != nil {
				t.Fatal(err)
			}
			got, err := Marshal(v)
			if err != nil || string(got) != c.want {
				t.Errorf("got  %s, %v\nwant %s", got, err, c.want)
			}
		})
	}
}

func TestRefused(t *testing.T) {
	for name, in := range map[string]string{
		"empty": "", "cut short": `{"a":1`, "cut in text": `"abc`, "cut in escape": `"\u12`, "after the end": `{} 1`,
		"name twice": `{"a":1,"\u0061":2}`, "half pair": `"\ud800"`, "low half": `"\udc00"`,
		"pair the wrong way": `"\udc00\ud800"`,
		"no UTF-8":           "\"\xff\"", "surrogate bytes": "\"\xed\xa0\x80\"", "control": "\"\n\"", "escape": `"\x"`,
		"too large":    `1e309`,
		"leading zero": `01`, "no digit": `1.`, "no exponent": `1e`, "plus": `+1`, "minus": `-`, "NaN": `NaN`,
		"comma":           `[1,]`,
		"comma in object": `{"a":1,}`, "no colon": `{"a" 1}`, "single quotes": `{'a':1}`, "word": `nul`, "BOM": "\ufeff{}",
	} {
		t.Run(name, func(t *testing.T) {
			var e *SyntaxError
			if v, err := Parse([]byte(in), Limits{}); !errors.As(err, &e) {
				t.Errorf("got %v, %v, want a SyntaxError", v, err)
			}
		})
	}
}

func TestLimits(t *testing.T) {
	deep := func(n int) []byte { return []byte(strings.Repeat("[", n) + strings.Repeat("]", n)) }
	if _, err := Parse(deep(5), Limits{Depth: 5}); err != nil {
		t.Errorf("5 of 5: %v", err)
	}
	if _, err := Parse(deep(6), Limits{Depth: 5}); err == nil {
		t.Error("6 of 5 was accepted")
	}
	if _, err := Parse([]byte(`[[],[],[[]]]`), Limits{Depth: 3}); err != nil {
		t.Errorf("beside one another: %v", err)
	}
	if _, err := Parse([]byte(`12345`), Limits{Bytes: 5}); err != nil {
		t.Errorf("5 bytes of 5: %v", err)
	}
	if _, err := Parse([]byte(`123456`), Limits{Bytes: 5}); err == nil {
		t.Error("6 bytes of 5 were accepted")
	}
}

// FuzzAgainstLibrary holds both directions against an independent
// implementation of RFC 8785.
func FuzzAgainstLibrary(f *testing.F) {
	for _, s := range []string{`{"b":[1,2.50,-0,1e21,1e-7],"a":"\u00e9\ud83d\ude00\/"}`, `"\ud800"`, `{"a":1,"a":2}`,
		`[1e400]`, "\"\u2028<&>\"", `1e-400`, `[[[[]]]]`, ` true `} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		v, err := Parse(in, Limits{})
		library := jsontext.Value(bytes.Clone(in))
		libraryErr := library.Canonicalize()
		if err != nil {
			if libraryErr == nil && !strings.Contains(err.Error(), "too large") {
				t.Fatalf("refused %q (%v), which the library takes", in, err)
			}
			return
		}
		if libraryErr != nil {
			t.Fatalf("took %q, which the library refuses: %v", in, libraryErr)
		}
		got, err := Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, library) {
			t.Fatalf("%q: got %s, the library writes %s", in, got, library)
		}
	})
}

func TestRandomNumbersAgainstLibrary(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 20000 {
		f := math.Float64frombits(r.Uint64())
		if math.IsNaN(f) || math.IsInf(f, 0) {
			continue
		}
		got, err := Marshal(f)
		if err != nil {
			t.Fatal(err)
		}
		library := jsontext.Value(bytes.Clone(got))
		if err := library.Canonicalize(); err != nil || !bytes.Equal(library, got) {
			t.Fatalf("%x: got %s, the library writes %s, %v", math.Float64bits(f), got, library, err)
		}
		back, err := Parse(got, Limits{})
		if err != nil || back != f {
			t.Fatalf("%s read back as %v, %v", got, back, err)
		}
	}
}
