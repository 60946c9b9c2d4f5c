package pdf

import (
	"math/rand/v2"
	"testing"

	"golang.org/x/text/unicode/bidi"
)

// On a page of a language that is written from the right each line begins there, whatever its
// first letter; figures and words from the left within it stay as they are.
func TestVisualOrderOfAPageFromTheRight(t *testing.T) {
	for in, want := range map[string]string{
		"Nord 7":          "Nord 7",
		"12":              "12",
		"שער Nord 7":      "Nord 7 רעש",
		"Nord שער 7":      "7 רעש Nord",
		"3.5 m":           "m 3.5",
		"Nord:":           ":Nord",
		"1 מתוך 4":        "4 ךותמ 1",
		"12 Example, שער": "רעש ,Example 12",
		"Plan: " + Apart("רחוב 12") + ", 1 Main Street": "Main Street 1 ,12 בוחר :Plan",
	} {
		if got := standing(in, true); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

// The order on paper, by hand after UAX #9. Read from the left.
func TestVisualOrder(t *testing.T) {
	for in, want := range map[string]string{
		"Plain street 12":    "Plain street 12",
		"":                   "",
		"שלום":               "םולש",
		"רחוב 12":            "12 בוחר",
		"רחוב 12-14":         "12-14 בוחר",
		"שער (ישן) Nord 7":   "Nord 7 (ןשי) רעש",
		"Gate שלום 12 north": "Gate 12 םולש north",
		"Gate שלום (12)":     "Gate (12) םולש",
		"3.5 m עד השער":      "3.5 m רעשה דע",
		"עד 3.5 m מהשער":     "רעשהמ m 3.5 דע",
		"שער (Nord) 7":       "7 (Nord) רעש",
		"Nord (שער) 7":       "Nord (רעש) 7",
		"Gate [א, b] ב":      "Gate [א, b] ב",
		"ב Nord (a) א":       "א Nord (a) ב",
		"Plan: " + Apart("רחוב 12") + ", 1 Main Street": "Plan: 12 בוחר\u200e, 1 Main Street",
		"Plan: " + Apart("Hof 12") + ", 1 Main Street":  "Plan: Hof 12, 1 Main Street",
		"א < ב 10%":  "10% ב > א",
		"\u200fGate": "Gate\u200f",
	} {
		if got := standing(in, false); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

// standing is a line in the order in which it stands.
func standing(s string, fromRight bool) string {
	line, from := visual([]rune(s), fromRight)
	if len(line) != len(from) {
		panic("letters without a place")
	}
	return string(line)
}

// The directions that the library finds for each letter are ours. The library tells no more
// than the direction, and pairs no brackets where it is asked in the public way: how deep a
// number stands, and brackets, show in the cases worked out by hand.
func TestLevelsAsTheLibrary(t *testing.T) {
	letters := []rune("abאבجد12٣,.-+$% é!/:\u0301")
	random := rand.New(rand.NewPCG(1, 2))
	for range 20000 {
		runes := make([]rune, 1+random.IntN(14))
		for i := range runes {
			runes[i] = letters[random.IntN(len(letters))]
		}
		var p bidi.Paragraph
		if _, err := p.SetString(string(runes)); err != nil {
			t.Fatal(err)
		}
		o, err := p.Order()
		if err != nil {
			t.Fatal(err)
		}
		base := bidi.Class(bidi.L)
		classes := make([]bidi.Class, len(runes))
		found := false
		for i, r := range runes {
			q, _ := bidi.LookupRune(r)
			classes[i] = q.Class()
			if c := q.Class(); !found && (c == bidi.L || c == bidi.R || c == bidi.AL) {
				base, found = strong(c), true
			}
		}
		levels := lineLevels(runes, classes, base)
		at := 0
		for n := range o.NumRuns() {
			run := o.Run(n)
			for range []rune(run.String()) {
				if want := run.Direction() == bidi.RightToLeft; levels[at]%2 == 1 != want {
					t.Fatalf("%q: letter %d stands on level %d, the library has it from the right: %v", string(runes), at, levels[at], want)
				}
				at++
			}
		}
	}
}
