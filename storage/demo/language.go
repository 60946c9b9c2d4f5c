package demo

import (
	"strings"

	"pegpour/engine/survey"
)

// Translate puts what a person would have typed into another language. Once it
// is kept it is the site's own, and no language changes it.
func Translate(s *survey.Survey, in func(english string) string) {
	at := &s.Site
	for _, words := range [...]*string{&at.Name, &at.Address, &at.Notes, &at.MeasuredBy} {
		translate(words, in)
	}
	for i := range s.Quote.Agreed {
		s.Quote.Agreed[i].Lines = translateLines(s.Quote.Agreed[i].Lines, in)
	}
	for i := range s.RunBack.Obstructions {
		translate(&s.RunBack.Obstructions[i].Name, in)
	}
	for i := range s.Ground.Levels.Book {
		translate(&s.Ground.Levels.Book[i].Station, in)
	}
	for i := range s.Network.Pegs {
		translate(&s.Network.Pegs[i].Thing, in)
	}
	for i := range s.Ground.Levels.Drops {
		translate(&s.Ground.Levels.Drops[i].Name, in)
	}
}

// translateLines puts the names of the lines of an agreement into another language: the
// second of the cells of each line.
func translateLines(lines string, in func(english string) string) string {
	all := strings.Split(lines, "\n")
	for i, line := range all {
		if cells := strings.Split(line, "\t"); len(cells) > 1 {
			translate(&cells[1], in)
			all[i] = strings.Join(cells, "\t")
		}
	}
	return strings.Join(all, "\n")
}

func translate(words *string, in func(english string) string) {
	if *words != "" {
		*words = in(*words)
	}
}
