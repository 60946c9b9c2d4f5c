package survey

import (
	"pegpour/engine/input"
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// Assumption is a field that was not measured and the value used for it.
type Assumption struct {
	Path      string         `json:"path"`
	Name      text.Name      `json:"name"`
	Dimension text.Dimension `json:"dimension"`
	Value     float64        `json:"value"`
	Words     string         `json:"words,omitempty"`
	// Unknown is set where nothing could stand in for the missing value.
	Unknown bool `json:"unknown,omitempty"`
}

// Reader reads fields out of a survey, notes what was assumed and what was
// refused, and hands on values that are safe to compute with. It panics on a
// path that is not declared: what is read is named by code, never by data.
type Reader struct {
	source      *Survey
	rules       *practice.Practice
	assumptions []Assumption
	standIn     map[string]bool // paths of the assumptions
	refusals    input.Refusals
}

// usuallyAssumed is how many fields of a site are mostly assumed, so that the lists need
// not be moved while they grow.
const usuallyAssumed = 24

// NewReader reads a survey; what was not measured is assumed as practice says.
func NewReader(s *Survey, p *practice.Practice) *Reader {
	return &Reader{source: s, rules: p, assumptions: make([]Assumption, 0, usuallyAssumed), standIn: make(map[string]bool, usuallyAssumed)}
}

// Survey is what is read.
func (r *Reader) Survey() *Survey { return r.source }

// Practice says what is assumed, and the uncertainty of a reading that has none
// of its own.
func (r *Reader) Practice() *practice.Practice { return r.rules }

// Number returns the field's number, or the assumed one; known is false where
// neither is there.
func (r *Reader) Number(path Path) (v float64, known bool) {
	f := FieldOf(path)
	value := f.Value(r.source)
	if e := f.CheckValue(value); e != nil {
		r.Refuse(*e)
	} else if value.Known() {
		return value.Size, true
	}
	v, known = f.Assumed(r.source, r.rules)
	r.Assume(Assumption{Path: f.Path, Name: f.Name, Dimension: f.Dimension, Value: v, Unknown: !known})
	return v, known
}

// Choice returns the field's choice, or the assumed one.
func (r *Reader) Choice(path Path) string {
	f := FieldOf(path)
	if w := r.wordsOf(&f); w != "" {
		return w
	}
	first := f.Options[0]
	r.Assume(Assumption{Path: f.Path, Name: f.Name, Dimension: text.Choice, Words: first.Words})
	return first.Value
}

// Words returns a text or a choice as it stands; "" where it was refused.
// Nothing is assumed.
func (r *Reader) Words(path Path) string {
	f := FieldOf(path)
	return r.wordsOf(&f)
}

func (r *Reader) wordsOf(f *Field) string {
	w := f.Words(r.source)
	if e := f.CheckWords(w); e != nil {
		r.Refuse(*e)
		return ""
	}
	return w
}

// Reading returns a field's own value with its standard uncertainty; taken is
// false where it was not measured or was refused. Nothing is assumed.
func (r *Reader) Reading(path Path) (value Value, sigma float64, taken bool) {
	f := FieldOf(path)
	value = f.Value(r.source)
	if e := f.CheckValue(value); e != nil {
		r.Refuse(*e)
		return Value{}, 0, false
	}
	return value, f.Uncertainty(value, r.rules), value.Known()
}

// Entries returns how many of a list's n entries may be read. More than most are
// refused by name, and those beyond are left out.
func (r *Reader) Entries(path Path, name text.Name, n, most int) int {
	if n <= most {
		return n
	}
	r.Refuse(input.FieldError{Path: string(path), Name: name, Dimension: text.Count, Given: float64(n),
		High: float64(most), Reason: input.OutOfRange})
	return most
}

// Assume notes an assumption.
func (r *Reader) Assume(a Assumption) {
	r.assumptions = append(r.assumptions, a)
	r.standIn[a.Path] = true
}

// Refuse notes a refusal.
func (r *Reader) Refuse(e input.FieldError) { r.refusals = append(r.refusals, e) }

// Assumed lists what stood in for what was not measured, in the order of
// reading.
func (r *Reader) Assumed() []Assumption { return r.assumptions }

// AssumedPaths are the paths of Assumed. The map grows as more is read.
func (r *Reader) AssumedPaths() map[string]bool { return r.standIn }

// IsAssumed reports whether something stands in for a field that was read.
func (r *Reader) IsAssumed(path Path) bool { return r.standIn[string(path)] }

// Refused lists what was refused, in the order of reading.
func (r *Reader) Refused() input.Refusals { return r.refusals }
