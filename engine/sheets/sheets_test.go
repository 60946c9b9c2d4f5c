package sheets

import (
	"bytes"
	"errors"
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/draw/pdf/pdftest"
	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage/demo"
)

var keep = flag.String("keep", "", "folder to write the documents to, to look at")

func tape(v float64) survey.Value { return survey.Measured(v, survey.ByTape) }

// site is a site of the tests' own with as much as fits on it.
func site() survey.Survey {
	var s survey.Survey
	s.Site = survey.Site{Name: "Angled drive", Address: "12 Example Street", Client: "A. Owner", MeasuredBy: "J. Fitter",
		MeasuredOn: "2025-03-12"}
	s.Opening = survey.Opening{Width: tape(4350), PostLatch: tape(100), PostRunBack: tape(110), PostDepth: tape(100),
		Hand: survey.HandLeft, SeenFrom: survey.SeenFromStreet}
	s.Drive.Surface = survey.SurfaceGravel
	s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgePoints,
		Points: []survey.EdgePoint{{Along: tape(60), Offset: tape(0)}, {Along: tape(575), Offset: tape(1400)}}}
	s.Drive.LatchEdge = survey.Edge{Given: survey.EdgeAngle, Along: tape(-250),
		Angle: survey.Measured(70*math.Pi/180, survey.ByTape)}
	s.RunBack = survey.RunBack{Room: tape(6900), Depth: tape(1700), Obstructions: []survey.Obstruction{
		{Kind: survey.ObstructionTree, Name: "Lemon tree", Along: tape(3100), Offset: tape(850), Length: tape(310),
			Width: tape(305)}}}
	s.Ground = survey.Ground{Soil: survey.SoilSoft, DepthToFirm: tape(260)}
	s.Gate = survey.Gate{Height: tape(1815), Cladding: tape(20), Motor: survey.MotorWired, Cables: survey.Yes,
		Guide: survey.GuideCastIn, HardStop: survey.Yes}
	return s
}

func issueOf(t testing.TB, s survey.Survey) Issue {
	practice := practice.DefaultPractice()
	plan, err := engine.Design(s, practice)
	require.NoError(t, err)
	return Issue{Plan: &plan, Survey: &s, Practice: &practice, Date: time.Date(2025, 3, 14, 9, 0, 0, 0, time.UTC),
		Revision: "0123456789abcdef0123", Units: "mm"}
}

func TestEveryDocumentIsMadeTheSameTwice(t *testing.T) {
	for _, r := range Readers() {
		a, err := For(r, issueOf(t, site()))
		require.NoError(t, err, r)
		b, err := For(r, issueOf(t, site()))
		require.NoError(t, err)
		assert.True(t, bytes.Equal(a, b), "%s differs", r)
		assert.True(t, bytes.HasPrefix(a, []byte("%PDF-")))
		t.Logf("%s: %d bytes", r, len(a))
		if *keep != "" {
			require.NoError(t, os.WriteFile(filepath.Join(*keep, string(r)+".pdf"), a, 0o644))
		}
	}
}

// words takes the text out of a document, a line for each that was set.
func words(t testing.TB, i Issue, r Reader) string {
	t.Helper()
	out, err := For(r, i)
	require.NoError(t, err)
	return wordsOf(t, out)
}

func wordsOf(t testing.TB, out []byte) string {
	t.Helper()
	text, err := pdftest.Words(out)
	require.NoError(t, err)
	return text
}

// has is assert.Contains without the whole document in the message.
func has(t *testing.T, text, want, of string) {
	t.Helper()
	if !strings.Contains(text, want) {
		t.Errorf("%s: %q is missing", of, want)
	}
}

// Every dimension line of the plan stands in the large drawings with its
// figure, and so do all tapes of the pegs, all diagonals and all figures; on the sheet for
// the pocket the tapes and the diagonals.
func TestLabourerHasEveryDimension(t *testing.T) {
	for _, r := range []Reader{ForLarge, ForLabourer} {
		hasEveryDimension(t, r)
	}
}

func hasEveryDimension(t *testing.T, r Reader) {
	i := issueOf(t, site())
	sentence := words(t, i, r)
	for _, d := range i.Plan.Dimensions {
		if d.Unknown || r == ForLabourer {
			continue
		}
		if !regexp.MustCompile(`(?m)^~?` + regexp.QuoteMeta(i.length(d.Value)) + `( mm)?$`).MatchString(sentence) {
			t.Errorf("%s: %s is missing", d.ID, i.length(d.Value))
		}
	}
	for _, g := range i.Plan.Pegs {
		for _, v := range []float64{g.Chainage, g.Offset, g.FromLatch, g.FromRunBack} {
			has(t, sentence, "\n"+i.length(v)+"\n", "peg "+strconv.Itoa(g.Number))
		}
	}
	for _, d := range i.Plan.Diagonals {
		has(t, sentence, "\n"+i.length(d.Length)+"\n", "diagonal "+strconv.Itoa(d.From)+"-"+strconv.Itoa(d.To))
	}
	if r == ForLabourer {
		return
	}
	for _, f := range i.Plan.Figures {
		has(t, sentence, i.write(text.Arg{Value: f.Value, Dimension: f.Dimension}), f.ID)
	}
}

// The same by another reader of PDF.
func TestLabourerByPDFToText(t *testing.T) {
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("no pdftotext here")
	}
	i := issueOf(t, site())
	out, err := For(ForLarge, i)
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "a.pdf")
	require.NoError(t, os.WriteFile(file, out, 0o600))
	text, err := exec.Command(tool, "-layout", file, "-").CombinedOutput()
	require.NoError(t, err)
	have := map[string]bool{}
	for _, w := range strings.Fields(string(text)) {
		have[strings.TrimPrefix(w, "~")] = true
	}
	for _, d := range i.Plan.Dimensions {
		if !d.Unknown {
			assert.True(t, have[i.length(d.Value)], "%s %s", d.ID, i.length(d.Value))
		}
	}
}

// Each sheet says site, date, revision, who measured, units and what was
// assumed, and the cautions that belong to it.
func TestSheetsSayWhatTheyAre(t *testing.T) {
	s := site()
	s.Opening.PostDepth = survey.Value{}
	i := issueOf(t, s)
	for _, r := range Readers() {
		text := words(t, i, r)
		if r != ForLabourer {
			has(t, text, "Cautions", string(r))
		}
		for _, want := range []string{"Angled drive, 12 Example Street", "2025-03-14", "0123456789", "J. Fitter 2025-03-12", "A. Owner"} {
			has(t, text, want, string(r))
		}
		if r == ForLabourer {
			has(t, text, "Assumed, not measured", string(r))
			has(t, text, "Units mm ", string(r))
			continue
		}
		if r != ForOwner && r != ForKeeper && r != ForQuote {
			has(t, text, "Assumed, not measured", string(r))
			has(t, text, "\nmm\n", string(r))
		}
	}
	has(t, words(t, i, ForLabourer), "services located", "document")
	has(t, words(t, i, ForOwner), "falls", "document")
}

// The owner's document is one page without prices unless they are wanted.
func TestOwnerIsOnePageWithoutPrices(t *testing.T) {
	s := site()
	i := issueOf(t, s)
	practice, err := practice.DefaultPractice().With(map[string]float64{practice.RuleRateBag: 11.5})
	require.NoError(t, err)
	plan, err := engine.Design(s, practice)
	require.NoError(t, err)
	i.Plan, i.Practice, i.Currency = &plan, &practice, "$"
	require.Positive(t, plan.Quantities.Cost)
	text := words(t, i, ForOwner)
	has(t, text, "1 of 1", "document")
	assert.NotContains(t, text, "$")
	for _, jargon := range []string{"chainage", "offset", "pinion", "rollers"} {
		assert.NotContains(t, strings.ToLower(text), jargon)
	}
	i.Prices = true
	has(t, words(t, i, ForOwner), i.money(plan.Quantities.Cost), "document")
	assert.NotContains(t, words(t, issueOf(t, s), ForSupplier), "$")
}

// No text of any drawing of any document is crossed by anything, over all demo
// sites and 200 drawn by chance; and every document can be made. Composed sheets have a test
// of their own.
func TestDrawingsKeepClear(t *testing.T) {
	bad := 0
	try := func(name string, s survey.Survey, readers ...Reader) {
		for _, r := range readers {
			i := issueOf(t, s)
			i.Plain = true
			i.laid = func(all []*draw.Sheet) {
				for _, sheet := range all {
					for _, o := range draw.Overlaps(sheet) {
						t.Errorf("%s, %s, %s: %s of %s and %s", name, r, sheet.Title, o.What, o.A, o.B)
						bad++
					}
				}
			}
			_, err := For(r, i)
			require.NoError(t, err, "%s, %s", name, r)
			if bad > 20 {
				t.FailNow()
			}
		}
	}
	for _, d := range demo.Sites() {
		try(d.Survey.Site.Name, d.Survey, Readers()...)
	}
	for seed := range uint64(200) {
		readers := []Reader{ForLarge}
		if seed%4 == 0 {
			readers = append(readers, ForOwner, ForSteel)
		}
		try("seed "+strconv.FormatUint(seed, 10), enginetest.RandomSurvey(rand.New(rand.NewPCG(seed, 6))), readers...)
	}
}

func TestRefusals(t *testing.T) {
	_, err := For("neighbour", issueOf(t, site()))
	assert.ErrorIs(t, err, ErrReader)
	for _, r := range Readers() {
		i := issueOf(t, site())
		i.Date = time.Time{}
		_, err := For(r, i)
		assert.ErrorIs(t, err, ErrIssue)
		if _, err := For(r, Issue{}); !errors.Is(err, ErrIssue) {
			t.Error(err)
		}
	}
}

func BenchmarkDocuments(b *testing.B) {
	for _, r := range Readers() {
		b.Run(string(r), func(b *testing.B) {
			i := issueOf(b, site())
			size := 0
			for b.Loop() {
				out, err := For(r, i)
				if err != nil {
					b.Fatal(err)
				}
				size = len(out)
			}
			b.ReportMetric(float64(size), "bytes")
		})
	}
}
