package language

import (
	"strconv"
	"strings"

	"pegpour/engine/text"
	"pegpour/engine/words"
)

// Page is what a Speaker needs of the page that the program runs in.
type Page interface {
	// FetchWords fetches the file of a language, "" for the one that the phone
	// speaks, and calls then with it, or fail. Both are called on the goroutine of
	// the screens.
	FetchWords(code string, then func(file string), fail func())
	// ShowLanguage says on the page which language it is in.
	ShowLanguage(code string, rightToLeft bool)
}

// Speaker says things in the language of the user. It is touched on the goroutine
// of the screens only. The zero Speaker speaks English and stays with it.
type Speaker struct {
	Units    string // storage.UnitsFeet or, with anything else, millimetres
	Currency string

	page    Page
	changed func()

	words   *words.Language // nil is English
	file    string
	chosen  string // the setting that was followed last
	asked   bool   // whether one was followed
	missing bool
}

// New returns a Speaker of English that changes over to other languages with what
// the page fetches.
func New(page Page) *Speaker { return &Speaker{page: page} }

// AfterChange has a function called after each change of the language.
func (s *Speaker) AfterChange(changed func()) { s.changed = changed }

// Speak changes over to the language of a setting, "" for the phone's own, unless
// it is spoken already.
func (s *Speaker) Speak(code string) {
	if s.asked && s.chosen == code {
		return
	}
	s.asked, s.chosen, s.missing = true, code, false
	if s.page == nil {
		return
	}
	s.page.FetchWords(code, func(file string) {
		if s.chosen != code || file == s.file {
			return // another one was chosen meanwhile, or it is spoken already
		}
		s.SpeakFrom(file)
		if s.changed != nil {
			s.changed()
		}
	}, func() {
		s.asked = false // no signal and not kept: tried again with the next change
		s.missing = true
	})
}

// SpeakFirst takes up the language of the first screen: the file of a setting, as the
// page has fetched it already.
func (s *Speaker) SpeakFirst(code, file string) {
	s.asked, s.chosen = true, code
	s.SpeakFrom(file)
}

// SpeakFrom makes the words of a file those of the screens; what is no such file leaves
// English.
func (s *Speaker) SpeakFrom(file string) {
	s.words, s.file = nil, ""
	if l, err := words.Read([]byte(file)); err == nil {
		s.words, s.file = l, file
	}
	if s.page == nil {
		return
	}
	if s.words == nil {
		s.page.ShowLanguage("en", false)
		return
	}
	s.page.ShowLanguage(s.words.Code, s.words.RightToLeft)
}

// File is the file that the language was read from, "" for English. The program
// for documents gets it with each order.
func (s *Speaker) File() string { return s.file }

// Missing reports whether the words of the language chosen could not be fetched.
func (s *Speaker) Missing() bool { return s.missing }

// Say gives the words of the interface in the user's language. English is the key,
// written in place: the catalogue is gathered from the source (see
// app/words/gather).
func (s *Speaker) Say(english string) string { return s.words.Say(english) }

// SayName gives the name of a thing of the engine; what a person typed stays.
func (s *Speaker) SayName(n text.Name) string { return n.In(s.Say) }

// SayWith is Say with parts put into the holes {0}, {1} and so on. Words among the
// parts have been said already.
func (s *Speaker) SayWith(english string, parts ...string) string {
	return fillHoles(s.Say(english), parts...)
}

// SayCount chooses the words for a number of things and puts the number into {0},
// and further parts into {1} and so on.
func (s *Speaker) SayCount(n int, one, many string, parts ...string) string {
	english := many
	if n == 1 {
		english = one
	}
	said := s.words.Count(english, func(int) float64 { return float64(n) })
	return fillHoles(said, append([]string{strconv.Itoa(n)}, parts...)...)
}

// fillHoles puts texts into the holes {0}, {1} … of a sentence.
func fillHoles(sentence string, texts ...string) string {
	pairs := make([]string, 0, 2*len(texts))
	for i, t := range texts {
		pairs = append(pairs, "{"+strconv.Itoa(i)+"}", t)
	}
	return strings.NewReplacer(pairs...).Replace(sentence)
}

// Sentences stand one after the other.
func Sentences(all ...string) string {
	var b strings.Builder
	for _, s := range all {
		if s == "" {
			continue
		}
		if b.Len() > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(s)
	}
	return b.String()
}
