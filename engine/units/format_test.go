package units

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pegpour/engine/reference/cases"
)

func TestFormat(t *testing.T) {
	half := Style{Unit: Foot, Denominator: 2}
	for _, c := range []struct {
		mm    float64
		style Style
		want  string
	}{
		{3204, WholeMillimetres(), "3204"},
		{3204.5, WholeMillimetres(), "3205"},
		{-3204.5, WholeMillimetres(), "-3205"},
		{-0.4, WholeMillimetres(), "0"},
		{0, WholeMillimetres(), "0"},
		{0.1 + 0.2, Style{Unit: Millimetre, Decimals: 2, Symbol: true}, "0.30 mm"},
		{3204, Metres(), "3.204 m"},
		{-4, Metres(), "-0.004 m"},
		{3204, Style{Unit: Metre, Decimals: 3, Symbol: true, Comma: true}, "3,204 m"},
		{3204, Style{Unit: Metre, Decimals: 2}, "3.20"},
		{3204, Style{Unit: Centimetre, Decimals: 1, Symbol: true}, "320.4 cm"},
		{3213.1, FeetInches(), `10' 6 1/2"`},
		{-3213.1, FeetInches(), `-10' 6 1/2"`},
		{3048, FeetInches(), `10' 0"`},
		{3657.6, FeetInches(), `12' 0"`},
		{3657.5, FeetInches(), `12' 0"`}, // 11' 11 15.94/16"
		{304.7, FeetInches(), `1' 0"`},   // carries from sixteenths to the foot
		{25.3, FeetInches(), `1"`},       // carries to the inch
		{303.2, FeetInches(), `11 15/16"`},
		{1.5875, FeetInches(), `1/16"`},
		{-1.5875, FeetInches(), `-1/16"`},
		{0.7, FeetInches(), `0"`},
		{-0.7, FeetInches(), `0"`},
		{12.7, half, `1/2"`},
		{6.4, half, `1/2"`},
		{6.3, half, `0"`},
		{3213.1, Style{Unit: Inch, Denominator: 8}, "126 1/2"},
		{3213.1, Style{Unit: Inch, Denominator: 8, Symbol: true}, `126 1/2"`},
		{3213.1, Style{Unit: Foot, Denominator: 1}, `10' 7"`},
		{math.NaN(), FeetInches(), "–"},
		{math.Inf(-1), Metres(), "–"},
		{1e300, WholeMillimetres(), "–"},
	} {
		if got := Format(c.mm, c.style); got != c.want {
			t.Errorf("%v in %+v: %q, want %q", c.mm, c.style, got, c.want)
		}
	}
}

// styles are all that a screen can choose.
func styles() []Style {
	var all []Style
	for _, symbol := range []bool{false, true} {
		for _, comma := range []bool{false, true} {
			for _, u := range []Unit{Millimetre, Centimetre, Metre} {
				for d := range 7 {
					all = append(all, Style{Unit: u, Decimals: d, Symbol: symbol, Comma: comma})
				}
			}
		}
		for _, d := range []int{0, 1, 2, 4, 8, 16, 32, 64} {
			all = append(all, Style{Unit: Foot, Denominator: d, Symbol: symbol},
				Style{Unit: Inch, Denominator: d, Symbol: symbol})
		}
	}
	return all
}

func roundTrip(t *testing.T, mm float64, style Style) {
	t.Helper()
	text := Format(mm, style)
	if text == missing {
		return
	}
	if strings.Contains(text, "16/16") || strings.Contains(text, ` 12"`) || strings.HasPrefix(text, "-0") &&
		!strings.ContainsAny(text, "123456789") {
		t.Fatalf("%v: %q", mm, text)
	}
	back, err := Parse(text, style.Unit)
	if err != nil {
		t.Fatalf("%v in %+v: %v", mm, style, err)
	}
	if back != Rounded(mm, style) {
		t.Fatalf("%v in %+v: %q reads %v, want %v", mm, style, text, back, Rounded(mm, style))
	}
	if again := Format(back, style); again != text && math.Abs(back) < longestWritten {
		t.Fatalf("%v: %q then %q", mm, text, again)
	}
}

func TestFormatRoundTrip(t *testing.T) {
	for _, style := range styles() {
		for mm := -400.0; mm < 13000; mm += 7 {
			roundTrip(t, mm, style)
		}
		for step := range 64 * 12 * 2 { // every 64th of an inch through two feet
			roundTrip(t, float64(step)*25.4/64, style)
		}
		for _, mm := range []float64{0.05, 0.005, -0.005, 1e-9, 99999999.99, 123456.789} {
			roundTrip(t, mm, style)
		}
	}
}

// Whole millimetres survive metres with three decimals exactly.
func TestFormatWholeMillimetresSurvive(t *testing.T) {
	for mm := -20000.0; mm <= 20000; mm++ {
		for _, style := range []Style{WholeMillimetres(), Metres(), {Unit: Centimetre, Decimals: 1, Symbol: true}} {
			if back, err := Parse(Format(mm, style), Millimetre); err != nil || back != mm {
				t.Fatalf("%v: %q reads %v, %v", mm, Format(mm, style), back, err)
			}
		}
	}
}

func FuzzFormat(f *testing.F) {
	f.Add(3213.1, uint16(3))
	f.Add(-304.79999, uint16(70))
	f.Add(1e8, uint16(11))
	f.Add(9.99999987e+08, uint16(15)) // rounds up to the longest
	all := styles()
	f.Fuzz(func(t *testing.T, mm float64, k uint16) { roundTrip(t, mm, all[int(k)%len(all)]) })
}

func TestFormatGrade(t *testing.T) {
	for _, c := range []struct {
		g     Grade
		style SlopeStyle
		want  string
	}{
		{0.025, Percent, "2.5 %"}, {-0.025, OneIn, "-1:40"}, {0.025, Degrees, "1.4°"}, {0.025, PerMetre, "25 mm/m"},
		{0.025, RiseOnRun, "0.0250"}, {0, OneIn, "0"}, {0, Percent, "0.0 %"}, {1.0 / 12, OneIn, "1:12"},
		{0.4, OneIn, "1:2.5"},
		{-1e-9, Percent, "0.0 %"}, {Grade(math.NaN()), OneIn, "–"}, {Grade(math.Inf(1)), OneIn, "–"},
		{Grade(math.NaN()), Percent, "–"}, {Grade(math.Inf(1)), PerMetre, "–"},
	} {
		if got := FormatGrade(c.g, c.style); got != c.want {
			t.Errorf("%v: %q, want %q", c.g, got, c.want)
		}
	}
}

func TestParseGrade(t *testing.T) {
	for _, c := range []struct {
		text string
		def  SlopeStyle
		want float64
	}{
		{"2.5 %", OneIn, 0.025}, {"2,5%", OneIn, 0.025}, {"2.5", Percent, 0.025}, {"40", OneIn, 0.025},
		{"1:40", Percent, 0.025},
		{"-1 in 40", Percent, -0.025}, {"1 : 40", Percent, 0.025}, {"25 mm/m", Percent, 0.025}, {"25", PerMetre, 0.025},
		{"45°", Percent, 1}, {"-45 deg", Percent, -1}, {"45", Degrees, 1}, {"0", OneIn, math.NaN()},
		{"1:0", Percent, math.NaN()},
		{"89°", Percent, math.NaN()}, {"2.5 m", Percent, math.NaN()}, {"25 mm", Percent, math.NaN()},
		{"", Percent, math.NaN()},
		{"0 %", OneIn, 0}, {"2.5 % x", Percent, math.NaN()}, {"1:", Percent, math.NaN()}, {"0.025", RiseOnRun, 0.025},
		{"1.125 %", Percent, 0.01125},
	} {
		g, err := ParseGrade(c.text, c.def)
		if math.IsNaN(c.want) != (err != nil) || err == nil && math.Abs(float64(g)-c.want) > 1e-15 {
			t.Errorf("%q: %v, %v, want %v", c.text, g, err, c.want)
		}
	}
}

func TestParseAngle(t *testing.T) {
	for text, want := range map[string]float64{"90": math.Pi / 2, "-90°": -math.Pi / 2,
		"12,5 deg": 12.5 * math.Pi / 180, "0": 0} {
		if got, err := ParseAngle(text); err != nil || got != want {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "x", "5 m", "5° 3", "1e2", "5°°"} {
		if got, err := ParseAngle(text); err == nil {
			t.Errorf("%q: %v", text, got)
		}
	}
	if got := FormatAngle(math.Pi/6, 1); got != "30.0°" {
		t.Error(got)
	}
}

func TestFormatAmount(t *testing.T) {
	for _, c := range []struct {
		amount float64
		style  AmountStyle
		want   string
	}{
		{0.96e6, SquareMetre, "0.960 m²"}, {96e6, CubicMetre, "0.096 m³"}, {96e6, Litre, "96 L"},
		{764554857.984, CubicYard, "1.00 yd³"},
		{3e8 * (0.1 + 0.2), CubicMetre, "0.090 m³"}, {25, Kilogram, "25.0 kg"}, {1234, Tonne, "1.23 t"},
		{10, Pound, "22 lb"},
		{92903.04, SquareFoot, "1.0 ft²"}, {28316846.592, CubicFoot, "1.00 ft³"}, {math.NaN(), Litre, "–"},
		{-1, CubicMetre, "0.000 m³"},
	} {
		if got := FormatAmount(c.amount, c.style); got != c.want {
			t.Errorf("%v: %q, want %q", c.amount, got, c.want)
		}
	}
	for style := SquareMetre; style <= Pound; style++ {
		if got := style.Of(style.Times(7)); math.Abs(got-7) > 1e-14 {
			t.Error(style, got)
		}
	}
}

func TestReferences(t *testing.T) {
	cases.Run(t, "units.json", cases.Topics{
		"slope": func(c cases.Case) (cases.Values, error) {
			g := GradeOfRun(c.Number("one_in"))
			if back := GradeOfDegrees(g.Degrees()); math.Abs(float64(back-g)) > 1e-15 {
				return nil, fmt.Errorf("degrees back to %v", back)
			}
			return cases.Values{"percent": g.Percent(), "degrees": g.Degrees()}, nil
		},
		"unit": func(c cases.Case) (cases.Values, error) {
			length, err := Parse(c.Word("text"), Millimetre)
			return cases.Values{"mm": length}, err
		},
		"amount": func(c cases.Case) (cases.Values, error) {
			for style := SquareMetre; style <= Pound; style++ {
				if size, _, symbol := amountUnit(style); symbol == " "+c.Word("unit") {
					return cases.Values{"size": size}, nil
				}
			}
			return nil, fmt.Errorf("no unit %q", c.Word("unit"))
		},
	})
}
