package pdf

import (
	"math/rand/v2"
	"testing"

	"golang.org/x/text/unicode/norm"
)

// What letters and accents make is what the library's normal form makes of them, for all that
// the face has, in whatever order the accents come.
func TestComposedAsTheLibrary(t *testing.T) {
	f := faces()[0]
	var letters, marks []rune
	for r := rune(0x20); r < 0x2000; r++ {
		if f.glyph(r) == 0 {
			continue
		}
		if isMark(r) {
			marks = append(marks, r)
			continue
		}
		if norm.NFC.String(string(r)) != string(r) {
			continue // another letter's second number
		}
		letters = append(letters, r)
		apart := norm.NFD.String(string(r))
		if got, want := string(composed(apart)), norm.NFC.String(apart); got != want {
			t.Errorf("%+q makes %+q, want %+q", apart, got, want)
		}
	}
	if len(letters) < 600 || len(marks) < 20 {
		t.Fatalf("%d letters, %d marks", len(letters), len(marks))
	}
	random := rand.New(rand.NewPCG(3, 4))
	made := 0
	for range 50000 {
		s := []rune{letters[random.IntN(len(letters))]}
		for range 1 + random.IntN(3) {
			s = append(s, marks[random.IntN(len(marks))])
		}
		want := norm.NFC.String(string(s))
		lacks := false
		for _, r := range want {
			lacks = lacks || f.glyph(r) == 0 // the face has no letter for it
		}
		if lacks {
			continue
		}
		if len([]rune(want)) < len(s) {
			made++
		}
		if got := string(composed(string(s))); got != want {
			t.Fatalf("%+q makes %+q, want %+q", string(s), got, want)
		}
	}
	if made < 1000 {
		t.Errorf("only %d were put together", made)
	}
	for _, s := range []string{"", "\u0301", "a\u0301\n\u0301", "Nguye\u0302\u0303n", "e\u0323\u0302", "e\u0302\u0323"} {
		if got, want := string(composed(s)), norm.NFC.String(s); got != want {
			t.Errorf("%+q makes %+q, want %+q", s, got, want)
		}
	}
}

// A name written in one way or the other is the same on paper.
func TestAccentsApartAreTheSameOnPaper(t *testing.T) {
	page := func(name string) []byte {
		return own(t, Options{}, func(d *Document) {
			d.Flow(block())
			d.Paragraph(name)
		})
	}
	for _, name := range append(worldly, "Größe Äneïs çà", "آمنة ؤئ") {
		if apart := norm.NFD.String(name); string(page(apart)) != string(page(name)) {
			t.Errorf("%q differs from %q", apart, name)
		}
	}
}
