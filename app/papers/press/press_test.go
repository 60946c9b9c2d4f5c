package press

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/papers/order"
	"pegpour/app/words"
	"pegpour/engine/draw/pdf/pdftest"
	"pegpour/engine/practice"
	"pegpour/engine/sheets"
	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/demo"
)

func site(t testing.TB, n int) *storage.Document {
	t.Helper()
	s := demo.Sites()[n]
	d := storage.NewDocument("2026-01-02T03:04:05Z")
	d.ID, d.Demo, d.Survey = s.ID, true, s.Survey
	return d
}

func orderOf(t testing.TB, d *storage.Document, reader string) order.Order {
	t.Helper()
	text, err := storage.Encode(d)
	require.NoError(t, err)
	return order.Order{Document: text, For: reader}
}

func TestEqualOrdersGiveEqualBytes(t *testing.T) {
	for n := range demo.Sites() {
		for k, r := range sheets.Readers() {
			if (n+k)%3 != 0 { // each reader's at every third site
				continue
			}
			a, err := Print(orderOf(t, site(t, n), string(r)))
			require.NoError(t, err)
			b, err := Print(orderOf(t, site(t, n), string(r)))
			require.NoError(t, err)
			assert.True(t, bytes.Equal(a, b), "site %d, %s", n, r)
		}
	}
}

// Every document of every demo site keeps the rules of an archive and is tagged throughout, in
// English, in German and in a language that is written from the right; what is read aloud begins
// with a heading, and every drawing has words in its place.
func TestPapersAreArchivesAndTagged(t *testing.T) {
	german, err := words.File("de")
	require.NoError(t, err)
	fromRight, err := json.Marshal(map[string]any{"language": "ar", "name": "عربي", "direction": "rtl", "decimal": ",",
		"date": "DD.MM.YYYY", "texts": map[string]string{"Cautions": "تحذيرات", "{0} of {1}": "{0} من {1}"}})
	require.NoError(t, err)
	for n := range demo.Sites() {
		d := site(t, n)
		d.Survey.Site.Name = [...]string{"Πύλη 7", "بوابة منزلقة (Nord) 12", "שער 3", "Tor 東 😀", "Brána e\u0301"}[n%5]
		for k, r := range sheets.Readers() {
			if n > 2 && (n+k)%4 != 0 && r != sheets.ForLabourer {
				continue
			}
			o := orderOf(t, d, string(r))
			o.Words = [...]json.RawMessage{nil, german, fromRight}[(n+k)%3]
			made, err := Print(o)
			require.NoError(t, err)
			f, err := pdftest.Read(made)
			require.NoError(t, err)
			assert.Empty(t, pdftest.Archive(f), "site %d, %s", n, r)
			said, faults := pdftest.Tags(f)
			assert.Empty(t, faults, "site %d, %s", n, r)
			for _, s := range said {
				if s.Text != "" {
					assert.EqualValues(t, "H1", s.Kind, "site %d, %s begins with %q", n, r, s.Text)
					break
				}
			}
		}
	}
}

// Whatever changes what is built changes what is printed.
func TestWhatIsOrderedIsPrinted(t *testing.T) {
	base, err := Print(orderOf(t, site(t, 2), "labourer"))
	require.NoError(t, err)
	for name, change := range map[string]func(*order.Order){
		"date":     func(o *order.Order) { o.Date = "2026-02-03" },
		"revision": func(o *order.Order) { o.Revision = "abc" },
		"units":    func(o *order.Order) { o.Units = storage.UnitsFeet },
		"rules":    func(o *order.Order) { o.Rules = map[string]float64{practice.RuleStripWidth: 260} },
		"firm":     func(o *order.Order) { o.Firm = "Gates of our own" },
		"ticks": func(o *order.Order) {
			d, _ := storage.Decode(o.Document)
			e, err := storage.SetTick(d, "peg.1", true)
			require.NoError(t, err)
			d, err = storage.Apply(d, e)
			require.NoError(t, err)
			o.Document, _ = storage.Encode(d)
		},
		"unreadable entry": func(o *order.Order) {
			d, _ := storage.Decode(o.Document)
			e, err := storage.SetDraft(d, survey.OpeningWidth, "36o0")
			require.NoError(t, err)
			d, err = storage.Apply(d, e)
			require.NoError(t, err)
			o.Document, _ = storage.Encode(d)
		},
	} {
		o := orderOf(t, site(t, 2), "labourer")
		change(&o)
		got, err := Print(o)
		require.NoError(t, err, name)
		assert.False(t, bytes.Equal(base, got), name)
	}
}

// No page knows where a photo was taken, the owner's least of all: it is printed
// to the same bytes with the photo's origin and without, but for the name of the
// revision, which is a digest.
func TestNoPageHoldsAPhotosOrigin(t *testing.T) {
	with := func(origin *storage.Origin) *storage.Document {
		d := site(t, 1)
		e, err := storage.PutPhoto(d, storage.Photo{ID: storage.PhotoID([]byte("x")), Name: "IMG_0001.jpg", Origin: origin})
		require.NoError(t, err)
		d, err = storage.Apply(d, e)
		require.NoError(t, err)
		return d
	}
	known := with(&storage.Origin{Position: &storage.Position{Latitude: 51.5074, Longitude: -0.1278},
		Clock: "2026-05-01T10:20:30"})
	for _, r := range sheets.Readers() {
		o := orderOf(t, known, string(r))
		require.Contains(t, string(o.Document), "51.5074", "the order itself holds it")
		without := orderOf(t, with(nil), string(r))
		o.Revision, without.Revision = "one", "one"
		a, err := Print(o)
		require.NoError(t, err)
		b, err := Print(without)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(a, b), r)
	}
}

// The steel shop's sheet is made of what was poured, once that was measured; the other
// sheets stay as planned.
func TestSteelIsCutToWhatWasPoured(t *testing.T) {
	d := site(t, 1)
	width := d.Survey.Opening.Width.Size
	changed := site(t, 1)
	e, err := storage.SetValue(changed, survey.PouredOpening, survey.Measured(width+14, survey.ByTape))
	require.NoError(t, err)
	changed, err = storage.Apply(changed, e)
	require.NoError(t, err)
	for _, r := range sheets.Readers() {
		if r == sheets.ForLabourer || r == sheets.ForLarge {
			continue // lists whatever was measured
		}
		planned, poured := orderOf(t, d, string(r)), orderOf(t, changed, string(r))
		planned.Revision, poured.Revision = "one", "one"
		planned.Date, poured.Date = "2026-02-03", "2026-02-03"
		a, err := Print(planned)
		require.NoError(t, err)
		b, err := Print(poured)
		require.NoError(t, err)
		assert.Equal(t, r != sheets.ForSteel, bytes.Equal(a, b), r)
	}
	// So is its table, which says which it is.
	before, err := Print(orderOf(t, d, order.Cuts))
	require.NoError(t, err)
	after, err := Print(orderOf(t, changed, order.Cuts))
	require.NoError(t, err)
	rail := func(table []byte) (length float64, made string) {
		rows, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
		require.NoError(t, err)
		for _, row := range rows {
			if row[0] == "Top rail" {
				length, err = strconv.ParseFloat(row[3], 64)
				require.NoError(t, err)
				return length, row[6]
			}
		}
		return 0, ""
	}
	was, planned := rail(before)
	is, poured := rail(after)
	assert.Positive(t, was)
	assert.InDelta(t, was+14, is, 0.1)
	assert.Equal(t, []string{"as planned", "as poured"}, []string{planned, poured})
}

func TestRefusals(t *testing.T) {
	o := orderOf(t, site(t, 0), "labourer")
	o.Date = "yesterday"
	_, err := Print(o)
	assert.ErrorIs(t, err, ErrDate)
	o = orderOf(t, site(t, 0), "passer-by")
	_, err = Print(o)
	assert.ErrorIs(t, err, sheets.ErrReader)
	_, err = Print(order.Order{Document: []byte("{"), For: "owner"})
	assert.Error(t, err)
	d := site(t, 0)
	d.Created, d.Changed = "", ""
	_, err = Print(orderOf(t, d, "owner"))
	assert.ErrorIs(t, err, ErrDate)
}

// The app itself must not carry what makes documents: it would weigh on each
// start.
func TestTheAppDoesNotCarryPDF(t *testing.T) {
	list := func(program string) string {
		command := exec.Command("go", "list", "-deps", program)
		command.Dir = "../../.."
		command.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
		out, err := command.Output()
		require.NoError(t, err)
		return string(out)
	}
	phone, office := list("./app/browser"), list("./app/office/desk")
	for _, heavy := range []string{"pegpour/engine/draw/pdf", "pegpour/engine/sheets", "pegpour/engine/quote"} {
		assert.False(t, strings.Contains(phone+office, heavy), heavy)
	}
	assert.False(t, strings.Contains(phone, "pegpour/app/office"), "the office has a program of its own")
	assert.True(t, strings.Contains(office, "pegpour/app/office"), "the list is of the right thing")
	papers := list("./app/papers")
	assert.True(t, strings.Contains(papers, "pegpour/engine/draw/pdf"), "the list is of the right thing")
	assert.False(t, strings.Contains(papers, "go-app"))
}

func FuzzPrint(f *testing.F) {
	text, err := storage.Encode(site(f, 1))
	require.NoError(f, err)
	f.Add(text, "owner", "", "feet")
	f.Add([]byte(`{"format":"pegpour-site","version":1,"id":"x"}`), "labourer", "2026-01-01", "")
	f.Fuzz(func(t *testing.T, document []byte, reader, date, system string) {
		_, _ = Print(order.Order{Document: document, For: reader, Date: date, Units: system})
	})
}

func BenchmarkPrint(b *testing.B) {
	for _, r := range sheets.Readers() {
		b.Run(string(r), func(b *testing.B) {
			o := orderOf(b, site(b, 1), string(r))
			size := 0
			for b.Loop() {
				out, err := Print(o)
				if err != nil {
					b.Fatal(err)
				}
				size = len(out)
			}
			b.ReportMetric(float64(size), "bytes")
		})
	}
}
