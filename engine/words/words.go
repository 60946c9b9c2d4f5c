// Package words holds the texts of one language: what stands for each English
// one, how it counts, and how it writes numbers and dates. English is the key
// and needs no file: a nil Language is English.
//
// A file of a language is JSON:
//
//	{"language": "de", "name": "Deutsch", "decimal": ",", "date": "DD.MM.YYYY",
//	 "texts": {
//	   "Out {0}": "Ausladung {0}",
//	   "{0} values": {"by": 0, "one": "{0} Wert", "other": "{0} Werte"}}}
//
// A text is a string, or one for each plural category that the language has
// (zero, one, two, few, many, other as CLDR names them) of the number in the
// hole "by". "direction" is "rtl" where the language runs from right to left.
//
// # The plural rules are our own
//
// The plural and catalogue packages of golang.org/x/text bring the whole matcher
// and its tables into the program; the rule of a language is a handful of lines
// ([Plural]). The catalogue is a file beside the program, some 70 kB packed, fetched
// only by who speaks it, so that no language weighs on the start of another. It
// would change with a language whose rule needs more than the number itself.
//
// # Files are not translated
//
// Tables, surveys and back-ups are English with a decimal point, as the room
// storage says. Drawings, sheets and screens speak the user's language; what
// published sources call their cases stays as it is, marked as English on the page.
package words

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
)

// Language is the texts of one language. It is not changed after Read.
type Language struct {
	Code, Name  string
	RightToLeft bool
	// Comma says that numbers have a decimal comma.
	Comma bool

	dateForm string
	category func(n float64) string
	texts    map[string]text
}

type text struct {
	plain string
	by    int
	forms map[string]string // by plural category; nil for a plain text
}

func (t *text) UnmarshalJSON(data []byte) error {
	if len(data) > 0 && data[0] == '"' {
		return json.Unmarshal(data, &t.plain)
	}
	var forms map[string]any
	if err := json.Unmarshal(data, &forms); err != nil {
		return err
	}
	t.forms = map[string]string{}
	for name, v := range forms {
		switch v := v.(type) {
		case string:
			t.forms[name] = v
		case float64:
			t.by = int(v)
		}
	}
	t.plain = t.forms[other]
	if t.plain == "" {
		return fmt.Errorf("words: a text in several forms has none for %q", other)
	}
	return nil
}

// Read reads the file of a language. An error says that it is none.
func Read(data []byte) (*Language, error) {
	var file struct {
		Language  string          `json:"language"`
		Name      string          `json:"name"`
		Direction string          `json:"direction"`
		Decimal   string          `json:"decimal"`
		Date      string          `json:"date"`
		Texts     map[string]text `json:"texts"`
	}
	if err := json.Unmarshal(data, &file); err != nil {
		return nil, fmt.Errorf("words: %w", err)
	}
	if file.Language == "" || len(file.Texts) == 0 {
		return nil, fmt.Errorf("words: a file of a language names it and has texts")
	}
	return &Language{Code: file.Language, Name: file.Name, RightToLeft: file.Direction == "rtl",
		Comma: file.Decimal == ",", dateForm: file.Date,
		category: Plural(file.Language), texts: file.Texts}, nil
}

// Say gives the text that stands for an English one; what is not in the file
// stays as it is. It takes texts of the source only, never what was made of them
// or typed.
func (l *Language) Say(english string) string {
	if l != nil {
		if t, ok := l.texts[english]; ok {
			return t.plain
		}
	}
	return Bare(english)
}

// noteMark stands before a note to the translator at the end of an English text
// that means different things in different places: "Open¦the gate stands".
const noteMark = "¦"

// Bare is an English text without the note to the translator.
func Bare(english string) string {
	bare, _, _ := strings.Cut(english, noteMark)
	return bare
}

// Count gives the text for an English one about numbers: number(i) is the one in
// hole i. The holes stay.
func (l *Language) Count(english string, number func(int) float64) string {
	if l == nil {
		return Bare(english)
	}
	t, ok := l.texts[english]
	if !ok || t.forms == nil {
		return l.Say(english)
	}
	if form, ok := t.forms[l.category(number(t.by))]; ok {
		return form
	}
	return t.plain
}

// Has reports whether the file has a text.
func (l *Language) Has(english string) bool {
	if l == nil {
		return true
	}
	_, ok := l.texts[english]
	return ok
}

// All gives every text with its forms, one where it has no more.
func (l *Language) All() map[string][]string {
	all := make(map[string][]string, len(l.texts))
	for english, t := range l.texts {
		if t.forms == nil {
			all[english] = []string{t.plain}
			continue
		}
		for _, form := range t.forms {
			all[english] = append(all[english], form)
		}
	}
	return all
}

// Number writes a number that was written with a decimal point, with or without
// a unit behind it, as the language does.
func (l *Language) Number(text string) string {
	if l == nil || !l.Comma {
		return text
	}
	return strings.ReplaceAll(text, ".", ",")
}

// DecimalSign is the sign between whole and part.
func (l *Language) DecimalSign() string { return l.Number(".") }

// Date writes a day given as 2025-03-14, alone or at the end of a text, in the
// order of the language; anything else stays.
func (l *Language) Date(iso string) string {
	const form = "2006-01-02"
	if l == nil || l.dateForm == "" || len(iso) < len(form) {
		return iso
	}
	front, day := iso[:len(iso)-len(form)], iso[len(iso)-len(form):]
	for i := range form {
		if digit := day[i] >= '0' && day[i] <= '9'; digit != (form[i] != '-') || !digit && day[i] != '-' {
			return iso
		}
	}
	return front + strings.NewReplacer("YYYY", day[:4], "MM", day[5:7], "DD", day[8:]).Replace(l.dateForm)
}

// Plural categories.
const (
	one   = "one"
	two   = "two"
	few   = "few"
	many  = "many"
	zero  = "zero"
	other = "other"
)

// Plural is the rule by which a language chooses the form for a number, after
// the CLDR; a language that is not listed has one and other as English has.
// Only cardinal numbers are counted, and whole ones nearly always.
func Plural(code string) func(n float64) string {
	switch code {
	case "ja", "ko", "zh", "vi", "th", "id":
		return func(float64) string { return other }
	case "fr", "pt":
		return func(n float64) string { return choose(n >= 0 && n < 2, one) }
	case "pl", "cs", "sk", "ru", "uk", "be":
		return func(n float64) string { return slavic(code, n) }
	case "ar":
		return arabic
	}
	return func(n float64) string { return choose(n == 1, one) }
}

func choose(is bool, category string) string {
	if is {
		return category
	}
	return other
}

func slavic(code string, n float64) string {
	ten, hundred := math.Mod(n, 10), math.Mod(n, 100)
	switch {
	case n != math.Trunc(n):
		return other
	case code == "cs" || code == "sk":
		if n >= 2 && n <= 4 {
			return few
		}
		return choose(n == 1, one)
	case code == "pl" && n == 1, code != "pl" && ten == 1 && hundred != 11:
		return one
	case ten >= 2 && ten <= 4 && !(hundred >= 12 && hundred <= 14):
		return few
	}
	return many
}

func arabic(n float64) string {
	hundred := math.Mod(n, 100)
	switch {
	case n == 0:
		return zero
	case n == 1:
		return one
	case n == 2:
		return two
	case hundred >= 3 && hundred <= 10:
		return few
	case hundred >= 11 && hundred <= 99:
		return many
	}
	return other
}
