package pdf

import (
	"bytes"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

var startOfTable = regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`)

// The catalogue names the language and has the title shown; every object stands where the table
// at the end says; another reader takes the file and finds title and words.
func TestTitleAndLanguage(t *testing.T) {
	for _, fill := range []func(*Document){
		func(d *Document) { d.Flow(block()); d.Paragraph("Plain words.") },
		func(d *Document) { d.Flow(block()); d.Paragraph(worldly[0]) },
	} {
		out := own(t, Options{Title: "Einmessen", Language: "de-DE"}, fill)
		catalogue := out[bytes.LastIndex(out, []byte("/Type /Catalog")):]
		for _, want := range []string{"/Lang (de-DE)", "/ViewerPreferences <</DisplayDocTitle true>>"} {
			if !bytes.Contains(catalogue, []byte(want)) {
				t.Errorf("the catalogue has no %s", want)
			}
		}
		m := startOfTable.FindSubmatch(out)
		if m == nil {
			t.Fatal("the file has no end")
		}
		table, _ := strconv.Atoi(string(m[1]))
		lines := strings.Split(string(out[table:]), "\n")
		if lines[0] != "xref" {
			t.Fatalf("at %d stands %q", table, lines[0])
		}
		count, _ := strconv.Atoi(strings.TrimPrefix(lines[1], "0 "))
		for n := 1; n < count; n++ {
			at, _ := strconv.Atoi(lines[2+n][:10])
			if want := strconv.Itoa(n) + " 0 obj"; !bytes.HasPrefix(out[at:], []byte(want)) {
				t.Errorf("object %d is not where the table says: %q", n, out[at:at+10])
			}
		}
		if count < 5 {
			t.Errorf("%d objects", count)
		}
		if said := string(tool(t, out, "pdfinfo")); !strings.Contains(said, "Title:           Einmessen") {
			t.Error(said)
		}
	}
}
