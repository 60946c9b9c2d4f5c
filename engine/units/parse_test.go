package units

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text string
		def  Unit
		mm   float64
	}{
		{"3204", Millimetre, 3204},
		{" 3204 ", Millimetre, 3204},
		{"3204mm", Millimetre, 3204},
		{"3204mm\t", Millimetre, 3204},
		{"3.204m\r", Millimetre, 3204},
		{"3.204m\r\n", Metre, 3204},
		{"  3.204 M", Inch, 3204},
		{"3.204 m", Millimetre, 3204},
		{"3,204 m", Millimetre, 3204},
		{"3.2041 m", Millimetre, 3204.1},
		{"3,204", Millimetre, 3204},
		{"3.204", Millimetre, 3204},
		{"0.204", Millimetre, 204},
		{".204", Millimetre, 204},
		{"3,204 mm", Millimetre, 3204},
		{"12.5", Millimetre, 12.5},
		{"12,5", Millimetre, 12.5},
		{"12.55 mm", Metre, 12.55},
		{"1,234.5", Millimetre, 1234.5},
		{"1.234,5", Millimetre, 1234.5},
		{"1,234,567", Millimetre, 1234567},
		{"4 000", Millimetre, 4000},
		{"4\u00a0000 mm", Millimetre, 4000},
		{"4\u202f000,5", Millimetre, 4000.5},
		{"12 345 678", Millimetre, 12345678},
		{"320.4 cm", Millimetre, 3204},
		{"320,4cm", Millimetre, 3204},
		{"3", Metre, 3000},
		{"3.2", Metre, 3200},
		{"3,204", Metre, 3204},
		{"3204 mm", Metre, 3204},
		{".5 m", Millimetre, 500},
		{"+25", Millimetre, 25},
		{"-25", Millimetre, -25},
		{"− 25", Millimetre, -25},
		{"-0", Millimetre, 0},
		{"3 m 204 mm", Millimetre, 3204},
		{"3m20cm4mm", Millimetre, 3204},
		{`10' 6 1/2"`, Millimetre, 3213.1},
		{`10ft 6-1/2in`, Millimetre, 3213.1},
		{`10 ft. 6 1/2 in.`, Millimetre, 3213.1},
		{`10'-6 1/2"`, Millimetre, 3213.1},
		{`10' - 6 1/2"`, Millimetre, 3213.1},
		{"10′ 6½″", Millimetre, 3213.1},
		{`10' 6" 1/2`, Inch, 3213.1},
		{`10' 6" 1/2"`, Millimetre, 3213.1},
		{`10' 6" ½`, Inch, 3213.1},
		{`6" 7/16`, Inch, 163.5125},
		{`14 ft 3 1/2`, Inch, 4356.1},
		{`-10' 6" 1/2`, Inch, -3213.1},
		{"10’ 6 ½”", Millimetre, 3213.1},
		{"10' 6 1⁄2''", Millimetre, 3213.1},
		{"10 feet 6.5 inches", Millimetre, 3213.1},
		{`10'6`, Millimetre, 3200.4},
		{`10' 6 1/2`, Inch, 3213.1},
		{`10' 1/2"`, Millimetre, 3060.7},
		{`10'½`, Millimetre, 3060.7},
		{`10'`, Millimetre, 3048},
		{`10.5'`, Millimetre, 3200.4},
		{`126.5"`, Millimetre, 3213.1},
		{`126,5"`, Millimetre, 3213.1},
		{`126 1/2`, Inch, 3213.1},
		{`6 1/2`, Inch, 165.1},
		{`6-1/2`, Inch, 165.1},
		{`1/2`, Inch, 12.7},
		{`15/16"`, Millimetre, 23.8125},
		{`⅞"`, Millimetre, 22.225},
		{`-6 1/2"`, Millimetre, -165.1},
		{`-10' 6 1/2"`, Millimetre, -3213.1},
		{"10", Foot, 3048},
		{`1 234 1/2"`, Millimetre, 31356.3},
		{"0.1 m", Millimetre, 100},
		{"0.3 m", Millimetre, 300},
		{"1.1 m", Millimetre, 1100},
		{"2.3 m", Millimetre, 2300},
	} {
		mm, err := Parse(c.text, c.def)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
		} else if mm != c.mm { // exact: one rounding at most
			t.Errorf("%q in %v: %v, want %v", c.text, c.def, mm, c.mm)
		} else if mm == 0 && math.Signbit(mm) {
			t.Errorf("%q: negative nothing", c.text)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		text string
		def  Unit
		why  Reason
		at   int
	}{
		{"", Millimetre, Empty, 0},
		{" \t\r\n", Millimetre, Empty, 4},
		{"-", Millimetre, Empty, 1},
		{"--5", Millimetre, NoNumber, 1},
		{"5-", Millimetre, Trailing, 1},
		{"abc", Millimetre, NoNumber, 0},
		{"NaN", Millimetre, NoNumber, 0},
		{"Inf", Millimetre, NoNumber, 0},
		{"-Inf", Millimetre, NoNumber, 1},
		{"0x10", Millimetre, UnknownUnit, 1},
		{"1e3", Millimetre, UnknownUnit, 1},
		{"3204 mmx", Millimetre, UnknownUnit, 5},
		{"3204 mm x", Millimetre, Trailing, 8},
		{"3204 mm 5", Millimetre, UnknownUnit, 8},
		{"3204;", Millimetre, Trailing, 4},
		{"3204 km", Millimetre, UnknownUnit, 5},
		{"3.", Millimetre, Unfinished, 1},
		{"3,", Millimetre, Unfinished, 1},
		{".", Millimetre, NoNumber, 0},
		{"1.2.3", Millimetre, BadGroups, 0},
		{"1,23,456", Millimetre, BadGroups, 0},
		{"1.234,567,8", Millimetre, BadGroups, 0},
		{"4 00", Millimetre, Trailing, 2},
		{"10 6", Inch, Trailing, 3},
		{`10' 6" 1`, Inch, UnknownUnit, 7},
		{`10' 6 1/2" 1/4`, Inch, UnknownUnit, 11},
		{`10' 6.5" 1/4`, Inch, UnknownUnit, 9},
		{`10' 6" 1/4 3`, Inch, Trailing, 11},
		{"3.204 mm", Millimetre, Ambiguous, 0},
		{"0,204 mm", Millimetre, Ambiguous, 0},
		{"3.2041", Millimetre, Ambiguous, 0},
		{"1234.567", Millimetre, Ambiguous, 0},
		{"1,204 in", Millimetre, Ambiguous, 0},
		{"1,204 cm", Millimetre, Ambiguous, 0},
		{"1,204", Foot, Ambiguous, 0},
		{`10' 14"`, Millimetre, TooMany, 4},
		{`10' 12"`, Millimetre, TooMany, 4},
		{`3 m 1200 mm`, Millimetre, TooMany, 4},
		{`10.5' 6"`, Millimetre, Trailing, 6},
		{`6" 10'`, Millimetre, WrongOrder, 3},
		{`10' 6 mm`, Millimetre, WrongOrder, 4},
		{`10' 5' 6"`, Millimetre, WrongOrder, 4},
		{`10' -`, Millimetre, NoNumber, 5},
		{`10' --6"`, Millimetre, Trailing, 5},
		{`17/16"`, Millimetre, BadFraction, 0},
		{`1/3"`, Millimetre, BadFraction, 0},
		{`1/0"`, Millimetre, BadFraction, 0},
		{`6 1/`, Inch, BadFraction, 2},
		{`6.5 1/2"`, Millimetre, BadFraction, 0},
		{`6 1/2 mm`, Millimetre, MetricPart, 0},
		{`1/2`, Millimetre, MetricPart, 0},
		{"1234567890123", Millimetre, TooLong, 0},
		{strings.Repeat("1", 100), Millimetre, TooLong, 0},
		{"٣٢٠٤", Millimetre, NoNumber, 0},
		{"3204\x00", Millimetre, Trailing, 4},
		{"\xff", Millimetre, NoNumber, 0},
	} {
		mm, err := Parse(c.text, c.def)
		var e *ParseError
		if !errors.As(err, &e) {
			t.Errorf("%q in %v: no refusal, %v mm", c.text, c.def, mm)
			continue
		}
		if e.Reason != c.why || e.At != c.at {
			t.Errorf("%q: %q at %d, want %q at %d", c.text, e.Reason, e.At, c.why, c.at)
		}
		if e.Text != c.text || e.Allowed == "" || mm != 0 {
			t.Errorf("%q: incomplete refusal %+v", c.text, e)
		}
		if e.Reason == Ambiguous && len(e.Readings) != 2 {
			t.Errorf("%q: readings %q", c.text, e.Readings)
		}
	}
}

func TestParseErrorWords(t *testing.T) {
	for text, want := range map[string]string{
		"3.204 mm": `"3.204 mm": this can be read in two ways: 3.204 mm or 3204 mm; write the unit meant; for example 3204, 3.204 m, 320.4 cm, 10' 6 1/2", 126.5"`,
		"3204 km":  `"3204 km": not a unit of this measurement, found "km" after 5 characters; for example 3204, 3.204 m, 320.4 cm, 10' 6 1/2", 126.5"`,
		"":         `"": nothing was entered; for example 3204, 3.204 m, 320.4 cm, 10' 6 1/2", 126.5"`,
	} {
		if _, err := Parse(text, Millimetre); err == nil || err.Error() != want {
			t.Errorf("%v\nwant %s", err, want)
		}
	}
}

// Commas and points are interchangeable wherever Parse takes one of them, or
// both are refused, or the pair is the documented exception with mm written.
func TestParsePointAndCommaAgree(t *testing.T) {
	for _, tail := range []string{"", " m", " cm", " in", `"`} {
		for _, head := range []string{"3", "0", "12", "1234"} {
			for _, decimals := range []string{"5", "25", "2045"} {
				point, err1 := Parse(head+"."+decimals+tail, Millimetre)
				comma, err2 := Parse(head+","+decimals+tail, Millimetre)
				if point != comma || (err1 == nil) != (err2 == nil) {
					t.Errorf("%s.%s%s: %v %v against %v %v", head, decimals, tail, point, err1, comma, err2)
				}
			}
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"3204", "3.204 m\r", `10' 6 1/2"`, "4 000,5", "6½″", "-1:40", "1e9", "10'6", "1,234.5",
		"\xff'", "٫5"} {
		for u := range 5 {
			f.Add(s, uint8(u))
		}
	}
	f.Fuzz(func(t *testing.T, text string, u uint8) {
		def := Unit(u % 5)
		mm, err := Parse(text, def)
		var e *ParseError
		if err != nil {
			if !errors.As(err, &e) || e.At < 0 || e.At > len(text) || mm != 0 || err.Error() == "" {
				t.Fatalf("%q: %v", text, err)
			}
		} else if math.IsNaN(mm) || math.IsInf(mm, 0) || mm == 0 && math.Signbit(mm) {
			t.Fatalf("%q: %v", text, mm)
		} else if again, err := Parse("  "+text+"\r\n", def); err != nil && len(text) < 70 || err == nil &&
			again != mm {
			t.Fatalf("%q with space around: %v %v", text, again, err)
		} else if !strings.ContainsAny(text, "+-−–—‐‑‒﹣-+") {
			if minus, err := Parse("-"+text, def); err != nil && len(text) < 70 || err == nil && minus != -mm {
				t.Fatalf("-%q: %v %v", text, minus, err)
			}
		}
		_, _ = ParseGrade(text, SlopeStyle(u%5))
		_, _ = ParseAngle(text)
	})
}

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		if _, err := Parse(`10' 6 1/2"`, Millimetre); err != nil {
			b.Fatal(err)
		}
	}
}
