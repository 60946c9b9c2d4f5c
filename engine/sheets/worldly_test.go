package sheets

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/storage/demo"
)

// A site named in any script of the lettering is named so on the papers of every reader, and is
// found there by another program; what there is no type for is said. Names of 200 letters break
// or end in dots, and the papers are made all the same.
func TestSitesOfTheWorldOnPaper(t *testing.T) {
	program, err := exec.LookPath("pdftotext")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal(err)
		}
		t.Skip(err)
	}
	file := filepath.Join(t.TempDir(), "a.pdf")
	read := func(r Reader, name string) string {
		i := issueOf(t, demo.Sites()[0].Survey)
		i.Survey.Site.Name = name
		made, err := For(r, i)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(file, made, 0o600))
		out, err := exec.Command(program, file, "-").CombinedOutput()
		require.NoError(t, err)
		return string(out)
	}
	for _, r := range Readers() {
		asked := strings.Count(read(r, "Tor"), "?")
		for name, want := range map[string]string{
			"Πύλη Αθηνών 7":            "Πύλη Αθηνών 7",
			"Ворота, вулиця Їжакевича": "Ворота, вулиця Їжакевича",
			"Brána Žižkov":             "Brána Žižkov",
			"שער הזזה":                 "שער הזזה",
			"Tor 😀 東":                  "A box □ stands for a letter that these sheets have no type for: U+6771 U+1F600",
			strings.Repeat("Щ", 200):   "ЩЩЩЩЩЩЩЩ",
			"Ворота е\u0308лки":        "Ворота ёлки",
			"بوابة منزلقة":             "بوابة منزلقة",
			strings.Repeat("😀", 200):   "😀😀😀😀😀😀😀😀", // boxes that are read as what they stand for
		} {
			text := read(r, name)
			assert.Contains(t, text, want, "%s: %s", r, name)
			assert.Equal(t, asked, strings.Count(text, "?"), "%s: %s", r, name)
		}
	}
}
