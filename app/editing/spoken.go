package editing

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/language"
	"pegpour/engine/spoken"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// heard is what became of speaking the number of a field. A number stands in the entry as
// if it was typed, and is kept when the person goes on from there or types on: nobody is
// to build by one that was not seen.
type heard struct {
	site, path string
	typed      string // "" where no number was understood
	before     string // what stood in the entry
	says       string
	wrong      bool // it was not understood, or listening failed
}

// Hear takes what the page says of somebody who speaks the number of a field: the outcome,
// and with "heard" the words and the language that they were spoken in.
func (s *Site) Hear(ctx app.Context, f survey.Field, outcome, words, in string) {
	was := s.heard
	s.heard = heard{}
	if outcome == "" && was.typed != "" {
		s.heard = was // it was heard before
	} else if outcome != "" {
		before, _ := s.Entry(f)
		h := heard{site: s.Doc.ID, path: f.Path, before: before}
		if outcome == "heard" {
			h.typed, h.says = s.understand(f, words, in)
		} else {
			h.says = s.outcomeWords(outcome)
		}
		h.wrong = h.typed == "" && outcome != "asks" && outcome != "listening"
		s.heard = h
	}
	s.Refresh(ctx)
}

// mostShown is how many letters are shown of what was heard.
const mostShown = 40

// understand gives what one would type for the words that were heard, a length of metres in
// the unit that stands beside the entry, and what to say of it.
func (s *Site) understand(f survey.Field, words, in string) (typed, says string) {
	typed, err := spoken.Read(words, in)
	if letters := []rune(words); len(letters) > mostShown {
		words = string(letters[:mostShown]) + "…"
	}
	if err == spoken.ErrAmbiguous {
		return "", s.SayWith("Heard “{0}”, which can mean two numbers. Say it digit by digit.", words)
	}
	if err != nil {
		return "", s.SayWith("Heard “{0}”: this is no number. Nothing was entered.", words)
	}
	if whole, decimals, parted := strings.Cut(typed, "."); parted && f.Dimension == text.Length &&
		strings.Trim(whole+decimals, "-0123456789") == "" && (len(decimals) != 3 || s.Feet()) {
		return "", s.SayWith("Heard “{0}”: say the unit too.", words)
	}
	typed = strings.ReplaceAll(typed, ".", s.DecimalSign())
	size, err := s.parse(f, typed)
	if err != nil {
		return "", s.SayWith("Heard “{0}”: another unit is used here.", words)
	}
	if f.Dimension == text.Length && !s.Feet() {
		typed = s.format(f, size)
	}
	if problem := s.problem(f, typed); problem != "" {
		return typed, language.Sentences(s.SayWith("Heard “{0}”.", words), problem)
	}
	return typed, s.SayWith("Heard “{0}”: {1}. Next takes it.", words, s.Size(size, f.Dimension))
}

// outcomeWords says how listening goes, by the names of the Web Speech API's errors and our
// own.
func (s *Site) outcomeWords(outcome string) string {
	switch outcome {
	case "asks":
		return s.Say("The browser may ask whether this page may listen. What is said stays on this phone.")
	case "listening":
		return s.Say("Listening: say the number.")
	case "no-speech":
		return s.Say("Nothing was heard: press the microphone and say the number.")
	case "not-allowed", "service-not-allowed":
		return s.Say("This page may not listen: allow it the microphone in the browser's settings.")
	case "audio-capture":
		return s.Say("No microphone answers: type the number.")
	case "language-not-supported":
		return s.Say("This phone does not understand this language any more: type the number.")
	case "aborted":
		return s.Say("Listening was interrupted: nothing was entered.")
	}
	return s.Say("This phone cannot listen now: type the number.")
}

// heardOf is what became of speaking the number of a field, while nothing else stands in
// its entry.
func (s *Site) heardOf(f survey.Field) (heard, bool) {
	if s.heard.path != f.Path || s.heard.site != s.Doc.ID {
		return heard{}, false
	}
	words, _ := s.Entry(f)
	return s.heard, s.heard.typed != "" || words == s.heard.before
}

// Heard reports whether the entry of a field shows a number that was spoken and is not kept.
func (s *Site) Heard(f survey.Field) bool {
	return s.heard.typed != "" && s.heard.path == f.Path && s.heard.site == s.Doc.ID
}

// Spoken reports whether the line under the entry of a field says what became of speaking
// its number, and whether that failed.
func (s *Site) Spoken(f survey.Field) (said, wrong bool) {
	h, ok := s.heardOf(f)
	return ok, ok && h.wrong
}
