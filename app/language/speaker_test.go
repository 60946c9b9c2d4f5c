package language_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/language"
	"pegpour/engine/text"
	"pegpour/storage"
)

// page is a page of which the files of languages come when the test says so.
type page struct {
	asked       []string
	then        []func(string)
	fail        []func()
	shown       string
	rightToLeft bool
}

func (p *page) FetchWords(code string, then func(string), fail func()) {
	p.asked, p.then, p.fail = append(p.asked, code), append(p.then, then), append(p.fail, fail)
}

func (p *page) ShowLanguage(code string, rightToLeft bool) {
	p.shown, p.rightToLeft = code, rightToLeft
}

func germanFile(t *testing.T) string {
	t.Helper()
	file, err := os.ReadFile("../words/de.json")
	require.NoError(t, err)
	return string(file)
}

func TestTheLanguageChangesWhenItsWordsAreThere(t *testing.T) {
	p, changes := &page{}, 0
	l := language.New(p)
	l.AfterChange(func() { changes++ })
	assert.Equal(t, "Next", l.Say("Next"))
	l.Speak("de")
	assert.Equal(t, []string{"de"}, p.asked)
	assert.Equal(t, "Next", l.Say("Next"), "not before the words are there")
	assert.Zero(t, changes)
	p.then[0](germanFile(t))
	assert.Equal(t, "Weiter", l.Say("Next"))
	assert.Equal(t, "de", p.shown)
	assert.False(t, p.rightToLeft)
	assert.Equal(t, 1, changes)
	assert.Equal(t, germanFile(t), l.File(), "the program for documents gets it")
	l.Speak("de")
	assert.Len(t, p.asked, 1, "what is spoken is not fetched again")
}

// Of two that are chosen one after the other, the last is spoken, whichever comes
// first.
func TestTheLanguageChosenLastIsSpoken(t *testing.T) {
	p := &page{}
	l := language.New(p)
	l.Speak("de")
	l.Speak("en")
	p.then[1]("")
	p.then[0](germanFile(t))
	assert.Equal(t, "Next", l.Say("Next"))
	assert.Empty(t, l.File())
}

func TestWordsThatCannotBeFetchedAreTriedAgain(t *testing.T) {
	p := &page{}
	l := language.New(p)
	l.Speak("de")
	p.fail[0]()
	assert.True(t, l.Missing())
	assert.Equal(t, "Next", l.Say("Next"))
	l.Speak("de")
	assert.False(t, l.Missing(), "while it is tried nothing is missing")
	require.Len(t, p.then, 2)
	p.then[1](germanFile(t))
	assert.Equal(t, "Weiter", l.Say("Next"))
	assert.False(t, l.Missing())
}

func TestTheFirstScreenIsInTheLanguageAlready(t *testing.T) {
	p := &page{}
	l := language.New(p)
	l.SpeakFirst("de", germanFile(t))
	assert.Equal(t, "Weiter", l.Say("Next"))
	l.Speak("de")
	assert.Empty(t, p.asked)
	l.Speak("")
	assert.Equal(t, []string{""}, p.asked, "the phone's own is fetched")
}

func TestWhatIsNoFileOfALanguageLeavesEnglish(t *testing.T) {
	p := &page{}
	l := language.New(p)
	for _, file := range []string{"", "<html>", "{}", "null"} {
		l.SpeakFrom(file)
		assert.Equal(t, "Next", l.Say("Next"), "%q", file)
		assert.Equal(t, "en", p.shown)
	}
	l.SpeakFrom(`{"language":"ar","name":"x","direction":"rtl","texts":{"Next":"التالي"}}`)
	assert.Equal(t, "التالي", l.Say("Next"))
	assert.True(t, p.rightToLeft)
}

func TestHolesAreFilled(t *testing.T) {
	l := &language.Speaker{}
	assert.Equal(t, "b a", l.SayWith("{1} {0}", "a", "b"))
	assert.Equal(t, "{1} {0}", l.SayWith("{0}", "{1} {0}"), "what was filled in is not filled again")
	assert.Equal(t, "One of 7", l.SayCount(1, "One of {1}", "{0} of {1}", "7"))
	assert.Equal(t, "3 of 7", l.SayCount(3, "One of {1}", "{0} of {1}", "7"))
	assert.Equal(t, "0 of 7", l.SayCount(0, "One of {1}", "{0} of {1}", "7"))
	assert.Equal(t, "A. B.", language.Sentences("A.", "", "B."))
	assert.Empty(t, language.Sentences("", ""))
}

func TestNumbersAreWrittenAsTheLanguageDoes(t *testing.T) {
	english, german := &language.Speaker{}, german(t)
	assert.Equal(t, "1.50", english.Decimal(1.5, 2))
	assert.Equal(t, "1,50", german.Decimal(1.5, 2))
	assert.Equal(t, "1,2 MB", german.ByteCount(1_234_567))
	for bytes, want := range map[int64]string{0: "0 bytes", 999: "999 bytes", 1000: "1 kB", 999_499: "999 kB",
		1_000_000: "1.0 MB", 100_000_000: "100 MB", 1_000_000_000: "1.0 GB"} {
		assert.Equal(t, want, english.ByteCount(bytes))
	}
	assert.Equal(t, "2026-05-01", english.Date("2026-05-01"))
	assert.Equal(t, "01.05.2026", german.Date("2026-05-01"))
	assert.Equal(t, "soon", english.LocalTime("soon"), "what is no time stands as it is")
	assert.Contains(t, german.LocalTime("2026-05-01T12:00:00Z"), "05.2026 ")
	german.Currency = "EUR"
	assert.Equal(t, "EUR 12,50", german.Money(12.5))
	assert.Equal(t, "12.50", english.Money(12.5))
}

func TestValuesAreWrittenForWhereTheyStand(t *testing.T) {
	l := &language.Speaker{}
	length := text.Arg{Value: 3204, Dimension: text.Length}
	assert.Equal(t, "3204 mm", l.Write(length))
	assert.Equal(t, "3204"+language.NoBreak+"mm", l.WriteInSentence(length), "no line ends before the unit")
	assert.Equal(t, "3204", l.WriteOnDrawing(length), "the trade's drawings have no unit")
	assert.Equal(t, "3204"+language.NoBreak+"mm", l.Size(3204, text.Length))
	l.Units = storage.UnitsFeet
	assert.True(t, l.Feet())
	assert.Contains(t, l.Write(length), "10' 6")
	assert.Equal(t, l.Write(length), l.WriteOnDrawing(length))
	typed := text.Typed("Next")
	named := text.Arg{Words: "Next", Dimension: text.Words}
	spoken := german(t)
	assert.Equal(t, "Next", spoken.Write(typed), "what a person typed is not translated")
	assert.Equal(t, "Weiter", spoken.Write(named))
}
