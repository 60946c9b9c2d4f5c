package pdf

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"pegpour/engine/draw"
	"pegpour/engine/draw/golden"
	"pegpour/engine/draw/pdf/pdftest"
)

const goldenDir = "../../../testdata/drawings"

var day = time.Date(2025, 3, 14, 9, 26, 53, 0, time.UTC)

func plan() *draw.Scene {
	s := &draw.Scene{Title: "Footing plan", Desc: "An L-shaped footing."}
	s.Add(
		draw.Region{Tag: draw.Tag{ID: "driveway", Role: draw.RoleExisting, Context: true},
			Outer: draw.Ring{{X: 150, Y: -900}, {X: 3750, Y: -900}, {X: 3900, Y: 1500}, {X: 300, Y: 1500}},
			Hatch: draw.HatchPavers},
		draw.Region{Tag: draw.Tag{ID: "footing", Role: draw.RoleCut},
			Outer: draw.Ring{{X: 0, Y: 0}, {X: 7200, Y: 0}, {X: 7200, Y: 400}, {X: 5100, Y: 400}, {X: 5100, Y: 1100},
				{X: 4200, Y: 1100}, {X: 4200, Y: 400}, {X: 0, Y: 400}},
			Holes: []draw.Ring{draw.RectRing(4500, 600, 4700, 800)}, Hatch: draw.HatchConcrete},
		draw.Circle{Tag: draw.Tag{ID: "post", Role: draw.RoleSteel}, Centre: draw.Pt(6500, 200), Radius: 120,
			Hatch: draw.HatchSteel},
		draw.Dimension{Tag: draw.Tag{ID: "dim.length", Voice: draw.VoiceWorkedOut}, From: draw.Pt(0, 0),
			To: draw.Pt(7200, 0), Text: "7200"},
		draw.Dimension{Tag: draw.Tag{ID: "dim.opening", Voice: draw.VoiceMeasured}, From: draw.Pt(0, 0),
			To: draw.Pt(4000, 0), Side: draw.Below, Text: "4000"},
		draw.Dimension{Tag: draw.Tag{ID: "dim.width", Voice: draw.VoiceAssumed}, From: draw.Pt(7200, 0),
			To: draw.Pt(7200, 400), Text: "400"},
		draw.Leader{Tag: draw.Tag{ID: "note"}, At: draw.Pt(4600, 700), Text: "Sleeve ≥ 50 mm, see “Steel” (a\\b)"},
		draw.Peg{Tag: draw.Tag{ID: "peg.1"}, At: draw.Pt(0, 0), Number: 1},
		draw.NorthArrow{Tag: draw.Tag{ID: "north"}, Angle: 1},
	)
	return s
}

func block() TitleBlock {
	return TitleBlock{Site: "12 Example Street", Client: "A. Owner", Date: "14 March 2025", Revision: "B",
		MeasuredBy: "J. Fitter",
		Cautions: []string{"Strength figures are a first pass and no engineer's design.",
			"The depth to firm ground was assumed: prove it before the pour."}}
}

func pegTable(rows int) Table {
	t := Table{Columns: []Column{{Title: "Peg", Share: 0.6}, {Title: "Chainage", Align: AlignRight},
		{Title: "Offset", Align: AlignRight}, {Title: "Check by", Share: 2}, {Title: "Set", Share: 0.5, Tick: true}}}
	for i := range rows {
		t.Rows = append(t.Rows,
			[]string{strconv.Itoa(i + 1), strconv.Itoa(i * 125), "400",
				"diagonal to peg 1, measured along the string and not along the ground"})
	}
	return t
}

func setOutDocument(t testing.TB, plain bool) []byte {
	t.Helper()
	d, err := New(Options{Title: "Set-out", Creator: "Test", Created: day, Language: "en-AU", Plain: plain})
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range []Orientation{Portrait, Landscape} {
		if err := d.Drawing(plan(), DrawingPage{Orientation: o, Block: block()}); err != nil {
			t.Fatal(err)
		}
	}
	b := block()
	b.Title = "Pegs"
	d.Flow(b)
	d.Heading("Pegs in the order one walks")
	d.Paragraph("Chainage from the inner face of the latch post, offset from the back face of the posts, both in mm.")
	d.List([]string{"Drive each peg clear of the dig.", "Check the diagonals before the first cut."})
	if err := d.Table(pegTable(60)); err != nil {
		t.Fatal(err)
	}
	out, err := d.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestDocumentDeterministic(t *testing.T) {
	if !bytes.Equal(setOutDocument(t, false), setOutDocument(t, false)) {
		t.Error("two documents of the same content differ")
	}
}

func TestDocumentGolden(t *testing.T) {
	got := setOutDocument(t, true)
	golden.Compare(t, filepath.Join(goldenDir, "setout.pdf"), got)
}

// textOf reads the texts of a document, page by page.
func textOf(t *testing.T, document []byte) (out []string) {
	t.Helper()
	f, err := pdftest.Read(document)
	if err != nil {
		t.Fatal(err)
	}
	for _, page := range f.Pages() {
		lines, err := f.Lines(page)
		if err != nil {
			t.Fatal(err)
		}
		for k := range lines {
			lines[k] = strings.TrimSpace(lines[k])
		}
		out = append(out, "\n"+strings.Join(lines, "\n")+"\n")
	}
	return out
}

func TestDocumentWords(t *testing.T) {
	pages := textOf(t, setOutDocument(t, true))
	if len(pages) < 5 {
		t.Fatalf("%d pages with text, want at least 5 (two drawings, 60 rows of two lines)", len(pages))
	}
	for i, wants := range [][]string{
		{"7200\n", "4000\n", "~400\n", "12 Example Street", "14 March 2025", "J. Fitter", "1:50 at A4", "Cautions",
			"assumed, not measured", "1 of 6", "Footing plan", "Sleeve ≥ 50 mm, see “Steel”"},
		{"7200\n", "1:50 at A4", "Cautions", "2 of 6"},
		{"Pegs in the order", "Check by", "Chainage", "1 of"},
		{"Check by", "4 of"},
	} {
		text := pages[i]
		for _, want := range wants {
			if i == 2 && want == "1 of" {
				want = "3 of"
			}
			if !strings.Contains(text, want) {
				t.Errorf("page %d lacks %q in %q", i+1, want, text)
			}
		}
	}
	all := strings.Join(pages, "")
	for i := 1; i <= 60; i++ {
		if !strings.Contains(all, "\n"+strconv.Itoa((i-1)*125)+"\n") {
			t.Errorf("row %d is missing", i)
		}
	}
}

// The same check by another reader of PDF, where there is one.
func TestDocumentPDFToText(t *testing.T) {
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("no pdftotext here")
	}
	file := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(file, setOutDocument(t, false), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, "-layout", file, "-").CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for _, want := range []string{"7200", "~400", "Sleeve ≥ 50 mm", "12 Example Street", "6 of 6"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("pdftotext does not find %q", want)
		}
	}
}

func TestDocumentRefuses(t *testing.T) {
	if _, err := New(Options{}); !errors.Is(err, ErrDate) {
		t.Errorf("no date: %v", err)
	}
	fresh := func() *Document {
		d, err := New(Options{Created: day})
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	if _, err := fresh().Bytes(); !errors.Is(err, ErrNothing) {
		t.Errorf("no pages: %v", err)
	}
	if err := fresh().Drawing(plan(), DrawingPage{Ratio: 10}); !errors.Is(err, ErrTooLarge) {
		t.Errorf("7.2 m at 1:10: %v", err)
	}
	bad := &draw.Scene{Elements: []draw.Element{draw.Line{}}}
	if err := fresh().Drawing(bad, DrawingPage{}); !errors.Is(err, draw.ErrElement) {
		t.Errorf("bad element: %v", err)
	}
	for _, table := range []Table{{}, {Columns: make([]Column, 1), Rows: [][]string{{"a", "b"}}}} {
		if err := fresh().Table(table); !errors.Is(err, ErrTable) {
			t.Errorf("%+v: %v", table, err)
		}
	}
}

// Every length on paper is the model's at the scale that the block names.
func TestDrawingTrueToScale(t *testing.T) {
	s := &draw.Scene{}
	s.Add(draw.Line{Tag: draw.Tag{ID: "a", Role: draw.RoleGate}, From: draw.Pt(0, 0), To: draw.Pt(5000, 0)})
	d, err := New(Options{Created: day, Plain: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Drawing(s, DrawingPage{Orientation: Portrait, Ratio: 50}); err != nil {
		t.Fatal(err)
	}
	out, err := d.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	// The only 0.7 mm (1.98 pt) line besides the frame.
	m := regexp.MustCompile(`1\.98 w\n\[\] 0 d\n1 j\n([\d.]+) ([\d.]+) m\n([\d.]+) ([\d.]+) l\nS`).FindSubmatch(out)
	if m == nil {
		t.Fatal("line not found")
	}
	x0, _ := strconv.ParseFloat(string(m[1]), 64)
	x1, _ := strconv.ParseFloat(string(m[3]), 64)
	if got := (x1 - x0) * 25.4 / 72; got < 99.98 || got > 100.02 {
		t.Errorf("5000 mm at 1:50 are %.3f mm on paper, want 100", got)
	}
}

func BenchmarkDocument(b *testing.B) {
	for b.Loop() {
		setOutDocument(b, false)
	}
}
