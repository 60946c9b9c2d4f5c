package editing

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// second is the second number of one press of a laser: a guess of the question that came
// after the one that the first answered, until that is passed.
type second struct {
	site, path string
	value      survey.Value
}

// TwoNumbers splits what a laser typed in one press into the two numbers that it holds,
// with a semicolon, a tab or a space between them; false where it is one number, or more,
// or none. The page puts the semicolon where the laser typed Tab or Enter.
func (s *Site) TwoNumbers(f survey.Field, typed string) (one, other string, two bool) {
	if f.Dimension != text.Length || f.Path != s.Asked {
		return "", "", false
	}
	if _, err := s.parse(f, typed); err == nil {
		return "", "", false
	}
	for i, r := range typed {
		if !strings.ContainsRune("; \t", r) {
			continue
		}
		before, after := strings.TrimRight(typed[:i], "; \t"), strings.TrimLeft(typed[i:], "; \t")
		_, err := s.parse(f, before)
		_, wrong := s.parse(f, after)
		if err != nil || wrong != nil || before == one && after == other {
			continue
		}
		if two {
			return "", "", false // it can be split in two ways
		}
		one, other, two = before, after, true
	}
	return one, other, two
}

// OfferSecond shows a second number at the question that is asked now, if a length answers
// it and none is known. It is kept when that is passed.
func (s *Site) OfferSecond(ctx app.Context, words string) {
	f, ok := survey.FieldAt(s.Asked)
	if !ok || f.Dimension != text.Length || f.Value(&s.Doc.Survey).Known() {
		return
	}
	size, err := s.parse(f, words)
	if err != nil || size < f.Low || size > f.High {
		return
	}
	s.second = second{s.Doc.ID, f.Path, survey.Value{Size: size, How: survey.ByLaser, Text: words}}
	s.Refresh(ctx)
}

// secondFor is the second number offered for a field.
func (s *Site) secondFor(f survey.Field) (survey.Value, bool) {
	_, drafted := s.drafts[f.Path]
	offered := s.second.site == s.Doc.ID && s.second.path == f.Path
	return s.second.value, offered && !drafted && !f.Value(&s.Doc.Survey).Known()
}
