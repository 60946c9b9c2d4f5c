package pdf

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pegpour/engine/draw"
	"pegpour/engine/draw/pdf/pdftest"
)

// boxes are how many each page of a document has in place of letters.
func boxes(t *testing.T, document []byte) (all []int) {
	t.Helper()
	f, err := pdftest.Read(document)
	if err != nil {
		t.Fatal(err)
	}
	for _, page := range f.Pages() {
		shows, err := f.Shows(page)
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, s := range shows {
			n += strings.Count(s.Text, "□")
		}
		all = append(all, n)
	}
	return all
}

// Names of our own invention, in many scripts.
var worldly = []string{"Σταθμός Αθηνών, πύλη 12", "Щербаков Юрій, вул. Їжакевича 7", "Příliš žluťoučký kůň", "Nguyễn Văn Ước",
	"Łódź Żółć", "Şişli İğde", "Ķekava Ģērbonis", "Ľubomír Šťastný", "Ghimeș-Făget", "Đorđe", "Улица Ғарышкер Қала"}

func own(t testing.TB, o Options, fill func(*Document)) []byte {
	t.Helper()
	o.Created = day
	d, err := New(o)
	if err != nil {
		t.Fatal(err)
	}
	fill(d)
	out, err := d.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// tool runs a program of poppler over a document, and skips where there is none.
func tool(t *testing.T, document []byte, name string, arguments ...string) []byte {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal(err)
		}
		t.Skip(err)
	}
	file := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(file, document, 0o600); err != nil {
		t.Fatal(err)
	}
	var said bytes.Buffer
	arguments = append(arguments, file)
	if name == "pdftotext" {
		arguments = append(arguments, "-")
	}
	command := exec.Command(path, arguments...)
	command.Stderr = &said
	out, err := command.Output()
	if err != nil || said.Len() > 0 {
		t.Fatalf("%s: %v: %s", name, err, said.String())
	}
	return out
}

// Letters of the languages of Europe, and of those around it that are written with them.
func TestLettersOfLanguages(t *testing.T) {
	for _, name := range append(worldly, "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩ άέήίόύώϊϋΐΰ αβγδεζηθικλμνξοπρσςτυφχψω",
		"АБВГДЕЁЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯ ЂЃЄЅІЇЈЉЊЋЌЎЏҐ абвгдеёжзийклмнопрстуфхцчшщъыьэюя ђѓєѕіїјљњћќўџґ",
		"אבגדהוזחטיכךלמםנןסעפףצץקרשת ׳״־", "ĀāĂăĄąĆćĈĉĊċČčĎďĐđĒēĘęĚěĞğĢģĦħĪīĮįİıĶķĹĺĻļĽľŁłŃńŅņŇňŌōŐőŒœŔŕŘřŚśŜŝŞşŠšŢţȚțŤťŪūŮůŰűŲųŴŵŶŷŸŹźŻżŽžƏə",
		"₪ € ₴ № ≈ ≤ ≥ ≠ ⅛ √ → − ′ ″ Ø ∆",
		"ابتثجحخدذرزسشصضطظعغفقكلمنهوي ءآأؤإئةى ًٌٍَُِّْ ٠١٢٣٤٥٦٧٨٩ ،؛؟", "پچژکگی ۀ", "ٹڈڑںھہےۓ", "ڕڵۆێە", "ټډړږښڼۍې", "ڀٺٻٿڄڃڇڌڍڏڙڦڪڱڳڻ") {
		for _, r := range name {
			for _, f := range faces() {
				if f.glyph(r) == 0 {
					t.Errorf("%q of %q is not in the face", r, name)
				}
			}
		}
	}
	for _, r := range "東京ﷺ😀\U0001f527\u0591\uffff\ufffd\ue000\ue513\uf8ff" {
		if newFace("R", regularFace).glyph(r) != 0 {
			t.Errorf("%q is said to be in the face", r)
		}
	}
}

func faces() []*face { return []*face{newFace("R", regularFace), newFace("B", boldFace)} }

// What drawings are laid out with are the widths of the face that is drawn; what stands for a
// letter that is lacking is no wider than what was kept free for it.
func TestWidthsOfLayoutAreOfTheFace(t *testing.T) {
	d, _ := New(Options{Created: day})
	n := 0
	for r := rune(0x100); r < 0x2000; r++ {
		got, want := d.width(string(r), 1000, ""), draw.TextWidth(string(r), 1000)
		for form := range 4 { // an Arabic letter is as wide as the widest of its forms
			if g := d.regular.glyph(formOf(r, form)); arabic(r) && g != 0 {
				got = math.Max(got, float64(d.regular.width(g)))
			}
		}
		if d.regular.glyph(r) != 0 {
			n++
			if math.Abs(got-want) > 0.5 {
				t.Errorf("%q is %.1f wide, layout has %.1f", r, got, want)
			}
		} else if got > want {
			t.Errorf("%q is %.1f wide as a box, layout has %.1f", r, got, want)
		}
	}
	for r := rune(0x20); r < 0x100; r++ {
		if got, want := d.width(string(r), 1000, ""), draw.TextWidth(string(r), 1000); d.regular.glyph(r) != 0 && math.Abs(got-want) > 0.5 && r != '±' && r != '÷' {
			t.Errorf("%q is %.1f wide, layout has %.1f", r, got, want)
		}
	}
	for _, r := range "–€—…™‘’‚“”„•′″≤≥≈≠−√∑∆" {
		if got, want := d.width(string(r), 1000, ""), draw.TextWidth(string(r), 1000); got > want+0.5 {
			t.Errorf("%q is %.1f wide, layout has %.1f", r, got, want)
		}
	}
	if n < 600 {
		t.Errorf("only %d letters were compared", n)
	}
	for _, name := range worldly {
		if got, want := d.width(name, 1000, ""), draw.TextWidth(name, 1000); math.Abs(got-want) > 1 {
			t.Errorf("%q is %.1f wide, layout has %.1f", name, got, want)
		}
	}
}

// Another reader finds the names as they were typed, from the left and from the right, beside
// plain words and the number of pages, upright, bold and leaning.
func TestWorldlyNamesAreFound(t *testing.T) {
	hebrew := "שער הזזה ברחוב הנביאים"
	out := own(t, Options{Title: "Πύλη 😀 שער"}, func(d *Document) {
		b := block()
		b.Site, b.Client = worldly[0], worldly[1]
		d.Flow(b)
		d.List(worldly)
		d.Paragraph(hebrew)
		d.Paragraph("بوابة منزلقة")
		d.Paragraph("e\u0301clair ≥ 50 ≤ 60 √ 2 ≈ 1.41")
		d.text(30, 200, "Кривой Ωμέγα", 4, "I")
		d.put(30, 60, 210, "Σελίδα "+pagesAlias, 4, "", false)
	})
	text := string(tool(t, out, "pdftotext", "-layout"))
	for _, want := range append(worldly, hebrew, "بوابة منزلقة", "éclair ≥ 50 ≤ 60 √ 2 ≈ 1.41", "Кривой Ωμέγα", "Σελίδα 1", "12 Example Street"[:2], "1 of 1") {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not found in %s", want, text)
		}
	}
	if strings.Contains(text, "?") || strings.Contains(text, "□") || strings.Contains(text, "A box") {
		t.Errorf("letters are lacking in %s", text)
	}
	if said := string(tool(t, out, "pdfinfo")); !strings.Contains(said, "Title:           Πύλη 😀 שער") {
		t.Error(said)
	}
}

// A letter that there is no type for is a box, and the page says which it is.
func TestLackingLettersAreSaid(t *testing.T) {
	out := own(t, Options{}, func(d *Document) {
		b := block()
		b.Site = "Tor 東 😀\u200d👩🏽\ufe0f שָ"
		d.Flow(b)
		d.Paragraph("Words.")
		// Where a drawing tries another page, the note stays at the foot of this one.
		if err := d.Drawing(plan(), DrawingPage{Orientation: Landscape, Block: block()}); err != nil {
			t.Fatal(err)
		}
	})
	text := string(tool(t, out, "pdftotext", "-layout"))
	first, second, _ := strings.Cut(text, "\f")
	if got := boxes(t, out)[0]; got != 3+1 { // of 東, 😀 and 👩, and the one of the note
		t.Errorf("%d boxes", got)
	}
	// What is searched for is the name itself.
	for _, want := range []string{"Tor 東 😀", "A box □ stands for a letter", "U+5B8 U+6771 U+1F469 U+1F600"} {
		if !strings.Contains(first, want) {
			t.Errorf("%q is not found in %s", want, first)
		}
	}
	if strings.Contains(first, "?") || strings.Contains(second, "U+") {
		t.Errorf("found in %s", text)
	}
	var foot bool
	for _, line := range strings.Split(string(tool(t, out, "pdftotext", "-bbox", "-l", "1")), "\n") {
		var x0, y0, x1, y1 float64
		if strings.Contains(line, ">U+6771<") {
			_, err := fmt.Sscanf(strings.TrimSpace(line), `<word xMin="%f" yMin="%f" xMax="%f" yMax="%f">`, &x0, &y0, &x1, &y1)
			foot = err == nil && y0 > (longEdge-marginOther)*ptPerMM && y1 < longEdge*ptPerMM
		}
	}
	if !foot {
		t.Error("the note does not stand below the frame")
	}
	// Many letters: as many are named as have room.
	var many strings.Builder
	for r := range rune(300) {
		many.WriteRune(0x4e00 + r)
	}
	out = own(t, Options{}, func(d *Document) {
		d.Flow(block())
		d.Paragraph(many.String())
	})
	if text := string(tool(t, out, "pdftotext", "-layout")); boxes(t, out)[0] != 301 || !strings.Contains(text, "U+4E01") ||
		!strings.Contains(text, "...") {
		t.Errorf("300 letters are said so: %s", text)
	}
}

// A name of 200 letters breaks to lines that fit, without a letter lost, and a mark never
// begins a line.
func TestLongNamesBreak(t *testing.T) {
	d, _ := New(Options{Created: day})
	for _, part := range []string{"a", "Щ", "ש", "東", "😀", "é", "e\u0301", "Wort ", "שער ", "👩🏽\u200d🔧", "ب", "بوابة ", "هٰذا ", "لا"} {
		name := strings.TrimSpace(strings.Repeat(part, 200))
		lines := d.wrap(name, 3.5, "B", 60)
		if got := strings.Join(lines, ""); strings.ReplaceAll(got, " ", "") != strings.ReplaceAll(name, " ", "") {
			t.Errorf("%q: letters are lost in %q", part, lines)
		}
		for _, l := range lines {
			if w := d.width(l, 3.5, "B"); w > 60 {
				t.Errorf("%q: a line is %.1f wide", part, w)
			}
			if strings.HasPrefix(l, "\u0301") || strings.HasPrefix(l, "\u200d") || strings.HasPrefix(l, "🏽") {
				t.Errorf("%q: a line begins with a mark", part)
			}
		}
	}
}

// A capital of our own face is as high as one of the standard face, 2.5 mm at the least size
// of the composed page.
func TestCapitalsAreHighEnough(t *testing.T) {
	for _, style := range []string{"", "B", "I"} {
		out := own(t, Options{}, func(d *Document) {
			d.page(false)
			d.text(30, 40, "Ж", PocketText, style)
			d.text(30, 60, "H", PocketText, style)
		})
		var highs []float64
		for _, y := range []string{"800", "1272"} { // dots at 600 to the inch
			grey := tool(t, out, "pdftoppm", "-gray", "-r", "600", "-x", "690", "-W", "120", "-y", y, "-H", "200")
			grey = grey[len(grey)-120*200:]
			high := 0
			for row := range 200 {
				for _, g := range grey[row*120 : row*120+120] {
					if g < 128 {
						high++
						break
					}
				}
			}
			highs = append(highs, float64(high)*25.4/600)
		}
		if highs[0] < 2.45 || math.Abs(highs[0]-highs[1]) > 0.1 {
			t.Errorf("style %q: a capital is %.2f mm high, of the standard face %.2f mm", style, highs[0], highs[1])
		}
	}
}

// A document holds the letters that it uses, the same each time.
func TestOnlyWhatIsUsedIsHeld(t *testing.T) {
	named := func() []byte {
		return own(t, Options{}, func(d *Document) {
			b := block()
			b.Site = worldly[0]
			d.Flow(b)
			d.List(worldly)
		})
	}
	one := named()
	if !bytes.Equal(one, named()) {
		t.Error("two documents of the same names differ")
	}
	short := own(t, Options{}, func(d *Document) {
		d.page(false)
		d.text(30, 40, "H", 3, "")
	})
	if len(one) > 45_000 || len(short) > 4_000 {
		t.Errorf("a page of names has %d bytes, one of a letter %d", len(one), len(short))
	}
}

func FuzzSet(f *testing.F) {
	for _, s := range append(worldly, "שער (ישן) 7", "😀\xff{#pages#} a", "e\u0301", "محمد لا", "\u064bلّا\u200dب", "\ue000") {
		f.Add(s)
	}
	d, _ := New(Options{Created: day})
	f.Fuzz(func(t *testing.T, s string) {
		for _, fromRight := range []bool{false, true} {
			line, order, _ := d.regular.set(s, fromRight)
			for _, l := range line {
				if l.glyph == 0 || l.as == "" {
					t.Errorf("%v of %q is not in the face", l, s)
				}
			}
			seen := make([]bool, len(line))
			for _, n := range order {
				seen[n] = true
			}
			if len(order) != len(line) || slices.Contains(seen, false) {
				t.Errorf("%q: %d letters stand at %v", s, len(line), order)
			}
		}
		if w := d.width(s, 3, ""); math.IsNaN(w) || w < 0 {
			t.Errorf("%q is %v wide", s, w)
		}
		d.wrap(s, 3, "", 50)
	})
}
