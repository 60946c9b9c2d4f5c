package language_test

import (
	"errors"
	"math"
	"os"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/language"
	"pegpour/app/words/gather"
	"pegpour/app/yardlink"
	"pegpour/engine"
	"pegpour/engine/concrete"
	"pegpour/engine/draw"
	"pegpour/engine/geom"
	"pegpour/engine/input"
	"pegpour/engine/levels"
	"pegpour/engine/motion"
	"pegpour/engine/photo"
	"pegpour/engine/practice"
	"pegpour/engine/refusal"
	"pegpour/engine/soil"
	"pegpour/engine/steel"
	"pegpour/engine/survey"
	"pegpour/engine/tape"
	"pegpour/engine/text"
	"pegpour/engine/wind"
	"pegpour/storage"
	"pegpour/storage/replication"
)

// german speaks German.
func german(t *testing.T) *language.Speaker {
	t.Helper()
	file, err := os.ReadFile("../words/de.json")
	require.NoError(t, err)
	l := language.New(nil)
	l.SpeakFrom(string(file))
	require.NotEmpty(t, l.File())
	return l
}

// firstOf is the error among the results of a call.
func firstOf(results ...any) error {
	for _, r := range results {
		if err, ok := r.(error); ok && err != nil {
			return err
		}
	}
	return nil
}

// refusalsMet are refusals of every package that makes some, as they come about.
func refusalsMet(t *testing.T) map[string]error {
	t.Helper()
	nan := math.NaN()
	bow := geom.Polygon{{X: 0, Y: 0}, {X: 10, Y: 10}, {X: 10, Y: 0}, {X: 0, Y: 10}}
	decode := func(words string) error { return firstOf(storage.Decode([]byte(words))) }
	broken := &draw.Scene{}
	broken.Add(draw.Polyline{Tag: draw.Tag{ID: "12", Role: draw.RoleGround, Voice: draw.VoiceMeasured},
		Points: []draw.Point{draw.Pt(nan, 0), draw.Pt(1, 1)}})
	all := map[string]error{
		"concrete":         firstOf(concrete.BarMass(100.5)),
		"concrete outline": firstOf(concrete.LevelTop(bow, 0, concrete.Plane{Level: -1})),
		"steel":            firstOf(steel.Hollow(-50, 3, 4)),
		"soil":             firstOf(soil.Active(0.3, 0.9)),
		"wind":             firstOf(wind.BasicPressure(nan)),
		"motion":           firstOf(motion.ThrustMargin(nan, 2, 3)),
		"levels":           firstOf(levels.OneIn(0)),
		"levels points":    firstOf(levels.FitPlane([]levels.Point{{Chainage: 2e9, Sigma: 1}, {Sigma: 1}, {Sigma: 1}})),
		"levels too few":   firstOf(levels.FitPlane([]levels.Point{{Sigma: 1}})),
		"levels one place": firstOf(levels.NewSurface([]levels.Point{{}, {}, {Chainage: 5}})),
		"tape": firstOf(
			(&tape.Network{Pegs: []tape.Peg{{Name: "1"}, {Name: "1"}}, Along: "1",
				Tapes: []tape.Taped{{From: "1", To: "1", Length: 5, Sigma: 1}}}).Adjust()),
		"photo": firstOf(photo.Homography(make([]photo.Pair, 2), 1)),
		"photo in line": firstOf(
			photo.Homography([]photo.Pair{{U: 0, V: 0}, {X: 1000, U: 100, V: 10}, {X: 2000, U: 200, V: 20},
				{X: 3000, U: 300, V: 30}}, 1)),
		"photo of one post": firstOf(photo.Camera([]photo.Mark{{Z: 0}, {Z: 500}, {Z: 900}, {Z: 1500}},
			photo.Frame{Wide: 100, High: 100, Focal: 26, Spread: 0.1}, 1)),
		"photo camera": photo.ErrCamera,
		"edge":         firstOf(geom.NewEdge(nil)),
		"drawing":      firstOf(draw.Layout(broken, draw.View{Width: 300})),
		"view":         firstOf(draw.Layout(&draw.Scene{}, draw.View{})),
		"no JSON":      decode(`{"format":`),
		"no object":    decode(`3`),
		"other format": decode(`{"format":"12"}`),
		"newer":        decode(`{"format":"pegpour-site","version":999}`),
		"moved":        storage.ErrMoved,
		"full":         storage.ErrFull,
		"closed":       storage.ErrClosed,
		"unavailable":  &storage.UnavailableError{Reason: storage.NoIndexedDB},
		"too large":    &storage.TooLargeError{Size: 99_000_000},
		"gone":         &storage.GoneError{Path: "/1"},
		"too many":     &storage.TooManyError{Path: "/1"},
		"damaged":      &storage.DamagedError{ID: "7", Cause: storage.ErrNotFound},
		"unpaired":     replication.ErrUnpaired,
		"garbled":      replication.ErrGarbled,
		"yard": &replication.AnswerError{Status: 422,
			Said: refusal.Say("a photo has at most {0} bytes", refusal.Count(20_000_000))},
		"yard, silent": &replication.AnswerError{Status: 418},
		"wrapped":      errors.Join(errors.New("x"), storage.ErrExists),
	}
	d := storage.NewDocument("2026-05-01T08:00:00Z")
	d.Survey.Network.Pegs = []survey.NetworkPeg{{Name: "1"}, {Name: "2"}}
	var field *input.FieldError
	require.ErrorAs(t, firstOf(storage.RenamePeg(d, "1", "2")), &field)
	all["peg"] = told{field.Detail}
	s := d.Survey
	s.Drive.RunBackEdge.Points = []survey.EdgePoint{{Along: survey.Measured(0, survey.ByTape),
		Offset: survey.Measured(0, survey.ByTape)},
		{Along: survey.Measured(-90000, survey.ByTape), Offset: survey.Measured(900, survey.ByTape)}}
	_, err := engine.Design(s, practice.DefaultPractice())
	var refused input.Refusals
	if errors.As(err, &refused) {
		for _, r := range refused {
			if !r.Detail.Empty() {
				all["edge "+r.Path] = told{r.Detail}
			}
		}
	}
	return all
}

// told is a text of the engine as an error.
type told struct{ text text.Text }

func (t told) Error() string { return t.text.String() }

// outside is what stands in letters outside the marks of the language for tests.
func outside(words string) string {
	var b strings.Builder
	depth := 0
	for _, c := range words {
		switch {
		case c == '⟦':
			depth++
		case c == '⟧':
			depth--
		case depth == 0 && (unicode.IsLetter(c) || c == ' '):
			b.WriteRune(c)
		}
	}
	for _, unit := range []string{"mm", "m", "kg", "kN", "MPa", "Pa", "N"} {
		padded := " " + b.String() + " "
		b.Reset()
		b.WriteString(strings.TrimSpace(strings.ReplaceAll(padded, " "+unit+" ", "  ")))
	}
	return b.String()
}

// No English is left in what the screens say of a refusal: in the language that
// no person speaks every word comes from the catalogue.
func TestRefusalsAreTranslated(t *testing.T) {
	report, err := gather.Gather("../..")
	require.NoError(t, err)
	l := language.New(nil)
	l.SpeakFrom(string(gather.Pseudo(report)))
	require.NotEmpty(t, l.File())
	met := refusalsMet(t)
	require.Greater(t, len(met), 30)
	require.Equal(t, "English", outside("⟦Ñöt⟧ English 3 mm"), "the search finds what passes the catalogue by")
	for name, err := range met {
		require.Error(t, err, name)
		said := l.ErrorWords(err)
		if words, ok := err.(told); ok {
			said = l.Sentence(words.text)
		}
		assert.Empty(t, outside(said), "%s: %s", name, said)
		assert.Contains(t, said, "⟦", name)
	}
}

// What a German installer reads, with German numbers.
func TestRefusalsInGerman(t *testing.T) {
	l, met := german(t), refusalsMet(t)
	for name, want := range map[string]string{
		"concrete":     "Stabdurchmesser: angegeben 100,5 mm, zulässig 3 mm bis 60 mm",
		"tape":         "Pflock „1“ steht zweimal in der Liste",
		"no JSON":      "kein brauchbares Dokument: Byte 10: abgeschnitten",
		"newer":        "von einer neueren Fassung geschrieben (Dokument 999, dieses Programm kennt 1): zum Öffnen aktualisieren",
		"yard":         "der Betrieb meldet: ein Foto hat höchstens 20000000 Bytes",
		"yard, silent": "der Betrieb antwortete 418 –",
		"unavailable":  "dieser Browser speichert nichts für Seiten (privater Modus oder Speicher abgeschaltet)",
	} {
		assert.Equal(t, want, strings.ReplaceAll(l.ErrorWords(met[name]), language.NoBreak, " "), name)
	}
	assert.Equal(t, "der Browser meldet: QuotaExceededError", l.ErrorWords(errors.New("QuotaExceededError")))
	assert.Equal(t, "diameter of the bar: given 100.5 mm, allowed 3 mm to 60 mm", met["concrete"].Error(),
		"a log stays English")
	assert.Contains(t, l.ErrorWords(met["concrete"]), "100,5\u00a0mm", "no line ends between a number and its unit")
	// A reason that came over the wire keeps its values.
	assert.Equal(t, "Der Betrieb meldet: ein Foto hat höchstens 20000000 Bytes", yardlink.ErrorWords(l, met["yard"]))
}
