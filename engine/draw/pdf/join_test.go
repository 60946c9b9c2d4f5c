package pdf

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

// joiningTypes reads testdata/arabic-joining.txt, which is of the Unicode Character Database.
func joiningTypes(t *testing.T) map[rune]string {
	t.Helper()
	file, err := os.ReadFile("testdata/arabic-joining.txt")
	if err != nil {
		t.Fatal(err)
	}
	types := map[rune]string{}
	for _, line := range strings.Split(string(file), "\n") {
		var r rune
		var kind string
		if _, err := fmt.Sscanf(line, "%x %s", &r, &kind); err == nil && !strings.HasPrefix(line, "#") {
			types[r] = kind
		}
	}
	if len(types) < 150 {
		t.Fatalf("%d types", len(types))
	}
	return types
}

// How letters join, which is told by their forms in the face, is how Unicode says.
func TestLettersJoinAsUnicodeSays(t *testing.T) {
	types := joiningTypes(t)
	for _, f := range faces() {
		seen := 0
		for r := rune(firstArabic); r <= lastArabic; r++ {
			if f.glyph(r) == 0 {
				continue
			}
			seen++
			want, listed := types[r]
			has := [4]bool{}
			for form := range has {
				has[form] = f.glyph(formOf(r, form)) != 0
			}
			got := map[[4]bool]string{{false, true, true, true}: "D", {true, true, true, true}: "D", {false, true}: "R", {true, true}: "R",
				{}: "U", {true}: "U"}[has]
			switch {
			case !listed && isMark(r):
				want = "U" // transparent: it has no forms
			case want == "C":
				want = "D" // the stroke between letters has itself as each form
			case !listed:
				want = "U"
			}
			if got != want {
				t.Errorf("%q (%x) joins %q by its forms %v, %q by Unicode", r, r, got, has, want)
			}
		}
		if seen < 120 {
			t.Errorf("only %d letters", seen)
		}
	}
}

// forms writes the forms of a line: a alone, e end, b begin, w within, a ligature in brackets.
func forms(f *face, s string) string {
	var out strings.Builder
	for _, r := range f.joined(composed(s)) {
		switch {
		case r >= joinedForms:
			fmt.Fprintf(&out, "(%s %c)", letterOf(r), "ae"[(r-joinedForms)%2])
		case r >= firstForm:
			fmt.Fprintf(&out, "%s%c", letterOf(r), "aebw"[(r-firstForm)%4])
		default:
			out.WriteRune(r)
		}
	}
	return out.String()
}

// Words in the forms that The Unicode Standard's section on Arabic has them in (9.2, recalled),
// and others by its rules of joining.
func TestFormsOfWords(t *testing.T) {
	f := faces()[0]
	for in, want := range map[string]string{
		"محمد":               "مbحwمwدe",
		"باب":                "بbاeب",
		"سلام":               "سb(لا e)م",
		"لا":                 "(لا a)",
		"الإسلام":            "ا(لإ a)سb(لا e)م",
		"لأ لآ":              "(لأ a) (لآ a)",
		"كتاب":               "كbتwاeب",
		"ورد":                "ورد",
		"دار":                "دار",
		"\u0628\u0651\u0628": "بb\u0651بe", // a mark does not part letters
		"\u0644\u0651\u0627": "(لا a)\u0651",
		"می\u200cشود":        "مbیe\u200cشbوeد", // kept apart
		"ه\u200d":            "هb\u200d",
		"\u200dه":            "\u200dهe",
		"بـب":                "بbـwبe",
		"پنج":                "پbنwجe",
		"کوچه":               "کbوeچbهe",
		"ٹھیک":               "ٹbھwیwکe",
		"ا\u0653":            "آ", // decomposed
		"ب12":                "ب12",
		"Tor ب":              "Tor ب",
		"":                   "",
	} {
		if got := forms(f, in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

// Every two letters of the face beside each other join where both sides may, by Unicode's types
// (The Unicode Standard, 9.2, rules of joining).
func TestPairsJoin(t *testing.T) {
	types := joiningTypes(t)
	f := faces()[0]
	n := 0
	for a := rune(firstArabic); a <= lastArabic; a++ {
		for b := rune(firstArabic); b <= lastArabic; b++ {
			if types[a] == "" || types[b] == "" || isMark(a) || isMark(b) || f.glyph(a) == 0 || f.glyph(b) == 0 {
				continue
			}
			n++
			join := strings.Contains("DC", types[a]) && strings.Contains("DRC", types[b])
			line := f.joined([]rune{a, b})
			if len(line) == 1 {
				if a != lam || !join || letterOf(line[0]) != string([]rune{a, b}) {
					t.Errorf("%q and %q are one", a, b)
				}
				continue
			}
			begins := line[0] == formOf(a, formBegin)
			ends := line[1] == formOf(b, formEnd)
			if begins != join || ends != join {
				t.Errorf("%q and %q: %v and %v, want %v", a, b, begins, ends, join)
			}
		}
	}
	if n < 9000 {
		t.Errorf("only %d pairs", n)
	}
}

// Drawn by another program, joined letters touch: between the first and the last dark column of
// a word of joining letters there is no white one, and there is where letters do not join.
func TestJoinedLettersTouch(t *testing.T) {
	for word, joined := range map[string]bool{"محمد": true, "سلم": true, "پنج": true, "لا": true, "ورد": false, "دار": false} {
		for _, style := range []string{"", "B", "I"} {
			out := own(t, Options{}, func(d *Document) {
				d.page(false)
				d.text(40, 40, word, 8, style)
			})
			const wide, high = 800, 400
			grey := tool(t, out, "pdftoppm", "-gray", "-r", "600", "-x", "820", "-W", "800", "-y", "700", "-H", "400")
			grey = grey[len(grey)-wide*high:]
			gaps, dark, ink := 0, false, 0
			for x := range wide {
				was := dark
				dark = false
				for y := range high {
					dark = dark || grey[y*wide+x] < 128
				}
				if dark {
					ink++
				}
				if was && !dark {
					gaps++
				}
			}
			if ink < 60 || style != "I" && (gaps == 1) != joined {
				t.Errorf("%q, style %q: %d stretches of ink over %d columns", word, style, gaps, ink)
			}
		}
	}
}

// A mark stands over the middle of its letter and clear of it, or under it.
func TestMarksStandOverTheirLetters(t *testing.T) {
	for _, f := range faces() {
		for _, letter := range "بللا" {
			for _, mark := range "ًَُِّْٰ" {
				l, m := f.glyph(letter), f.glyph(mark)
				box := func(g uint16, n int) float64 {
					o := f.outline(g)
					return float64(int16(uint16(o[n])<<8|uint16(o[n+1]))) * 1000 / float64(f.unit)
				}
				back, up := f.over(l, m)
				middle := float64(f.width(l)-back) + (box(m, 2)+box(m, 6))/2
				if want := (box(l, 2) + box(l, 6)) / 2; middle < want-2 || middle > want+2 {
					t.Errorf("%q on %q: its middle is at %.0f, the letter's at %.0f", mark, letter, middle, want)
				}
				low, high := box(m, 4)+float64(up), box(m, 8)+float64(up)
				if low < box(l, 8) && high > box(l, 4) {
					t.Errorf("%q touches %q: %.0f to %.0f", mark, letter, low, high)
				}
			}
		}
	}
}
