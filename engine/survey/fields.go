package survey

import (
	"math"

	"pegpour/engine/input"
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// Field describes one value of the survey: what it is called, what is allowed,
// what is assumed while it is not measured, and how to take it. Screens,
// validation, the command line and the documentation are all made from it.
type Field struct {
	Path      string // e.g. "opening.width"; lists hold an index: "runBack.obstructions.0.length"
	Group     string // the part of the site: a Group constant
	Name      text.Name
	Dimension text.Dimension
	Low, High float64  // of a number, both ends included
	Options   []Option // of a choice, the assumed one first
	Help      string   // where the tape goes

	// standIn gives the value used while none was measured; false means that
	// nothing is assumed and the plan does without.
	standIn func(*Survey, *practice.Practice) (float64, bool)
	askedIf func(*Survey) bool                    // nil: always
	words   func(string) (why text.Text, ok bool) // whether words may stand; nil: any may
	number  func(*Survey) *Value
	text    func(*Survey) *string
	// put and putWords write where number and text give a copy.
	put      func(*Survey, Value)
	putWords func(*Survey, string)

	// A field of an entry of a list has these instead; entry is which.
	column      ListPath
	entry       int
	entryNumber func(*Survey, int) *Value
	entryText   func(*Survey, int) *string
	onceTaken   bool // asked for only where it was taken already
}

// numberIn is where the field's number stands in s; nil for words, and for an
// entry that s has not.
func (f *Field) numberIn(s *Survey) *Value {
	switch {
	case f.number != nil:
		return f.number(s)
	case f.entryNumber != nil:
		return f.entryNumber(s, f.entry)
	}
	return nil
}

// wordsIn is where the field's text or choice stands in s; nil for a number, and
// for an entry that s has not.
func (f *Field) wordsIn(s *Survey) *string {
	switch {
	case f.text != nil:
		return f.text(s)
	case f.entryText != nil:
		return f.entryText(s, f.entry)
	}
	return nil
}

// Option is one choice: its value in documents and its words.
type Option struct{ Value, Words string }

// The parts of a site, in the order one walks it.
const (
	GroupSite      = "Site"
	GroupOpening   = "Opening"
	GroupDrive     = "Driveway"
	GroupRunBack   = "Run-back"
	GroupGround    = "Ground"
	GroupGate      = "Gate"
	GroupObstacles = "In the way"
)

// Groups lists the parts of a site in the order one walks it.
func Groups() []string {
	return []string{GroupSite, GroupOpening, GroupDrive, GroupRunBack, GroupGround, GroupGate, GroupObstacles}
}

// The most list entries a survey may hold.
const (
	MaxEdgePoints   = 20
	MaxObstructions = 50
	MaxWords        = 20000 // characters in one text field
)

// Needed reports whether this site needs the field, given what is known so far.
func (f Field) Needed(s *Survey) bool {
	if f.onceTaken {
		return f.Value(s).Known()
	}
	return f.askedIf == nil || f.askedIf(s)
}

// Assumed returns the value that stands in while none was measured; false
// means that the plan does without one.
func (f Field) Assumed(s *Survey, p *practice.Practice) (float64, bool) {
	if f.standIn == nil {
		return 0, false
	}
	return f.standIn(s, p)
}

// Numeric reports whether the field holds a number.
func (f Field) Numeric() bool { return f.number != nil || f.entryNumber != nil }

// Value returns the field's number in s; the zero Value for words and choices.
func (f Field) Value(s *Survey) Value {
	if v := f.numberIn(s); v != nil {
		return *v
	}
	return Value{}
}

// Words returns the field's text or choice in s.
func (f Field) Words(s *Survey) string {
	if w := f.wordsIn(s); w != nil {
		return *w
	}
	return ""
}

// Chosen returns the choice in s, or the assumed one while none was made.
func (f Field) Chosen(s *Survey) string {
	if w := f.Words(s); w != "" {
		return w
	}
	if len(f.Options) > 0 {
		return f.Options[0].Value
	}
	return ""
}

// Answered reports whether the survey holds anything for the field.
func (f Field) Answered(s *Survey) bool {
	if f.Numeric() {
		return f.Value(s).Known()
	}
	return f.Words(s) != ""
}

// SetValue puts a number into the survey after checking it. A refused number
// leaves the survey as it was.
func (f Field) SetValue(s *Survey, v Value) error {
	if !f.Numeric() {
		return &input.FieldError{Path: f.Path, Name: f.Name, Reason: input.UnknownField, Detail: text.Say("takes no number")}
	}
	if e := f.CheckValue(v); e != nil {
		return e
	}
	if f.put != nil {
		f.put(s, v)
		return nil
	}
	if at := f.numberIn(s); at != nil {
		*at = v
		return nil
	}
	return &input.FieldError{Path: f.Path, Name: f.Name, Reason: input.UnknownField}
}

// SetWords puts a text or a choice into the survey after checking it.
func (f Field) SetWords(s *Survey, w string) error {
	if f.Numeric() {
		return &input.FieldError{Path: f.Path, Name: f.Name, Reason: input.UnknownField, Detail: text.Say("takes no words")}
	}
	if e := f.CheckWords(w); e != nil {
		return e
	}
	if f.putWords != nil {
		f.putWords(s, w)
		return nil
	}
	if at := f.wordsIn(s); at != nil {
		*at = w
		return nil
	}
	return &input.FieldError{Path: f.Path, Name: f.Name, Reason: input.UnknownField}
}

// CheckValue returns why v may not stand in the field; nil where it may. What was
// not measured always may.
func (f Field) CheckValue(v Value) *input.FieldError {
	if !v.How.Valid() {
		return &input.FieldError{Path: f.Path, Name: f.Name, Reason: input.UnknownHow, Text: string(v.How),
			Allowed: methodNames()}
	}
	if !v.Known() {
		return nil
	}
	if math.IsNaN(v.Size) || math.IsInf(v.Size, 0) {
		return &input.FieldError{Path: f.Path, Name: f.Name, Dimension: f.Dimension, Given: v.Size, Low: f.Low, High: f.High,
			Reason: input.NotANumber}
	}
	if v.Size < f.Low || v.Size > f.High {
		return &input.FieldError{Path: f.Path, Name: f.Name, Dimension: f.Dimension, Given: v.Size, Low: f.Low, High: f.High,
			Reason: input.OutOfRange}
	}
	if math.IsNaN(v.Sigma) || v.Sigma < 0 || v.Sigma > f.High-f.Low {
		return &input.FieldError{Path: f.Path + ".sigma", Name: text.Named("{0}, standard uncertainty", f.Name),
			Dimension: f.Dimension, Given: v.Sigma, Low: 0, High: f.High - f.Low, Reason: input.OutOfRange}
	}
	return nil
}

// CheckWords returns why words may not stand in the field; nil where they may.
func (f Field) CheckWords(w string) *input.FieldError {
	if f.Dimension == text.Words {
		if n := len(w); n > MaxWords {
			return &input.FieldError{Path: f.Path, Name: f.Name, Reason: input.TooMany, Given: float64(n), High: MaxWords,
				Detail: text.Say("at most {0} characters", text.Number(MaxWords))}
		}
		if f.words != nil && w != "" {
			if why, ok := f.words(w); !ok {
				return &input.FieldError{Path: f.Path, Name: f.Name, Reason: input.Impossible, Text: w, Detail: why}
			}
		}
		return nil
	}
	if w == "" {
		return nil
	}
	for _, o := range f.Options {
		if o.Value == w {
			return nil
		}
	}
	allowed := make([]string, len(f.Options))
	for i, o := range f.Options {
		allowed[i] = o.Value
	}
	return &input.FieldError{Path: f.Path, Name: f.Name, Reason: input.NotAChoice, Text: w, Allowed: allowed}
}

func methodNames() []string {
	names := make([]string, 0, len(Methods()))
	for _, m := range Methods() {
		names = append(names, string(m))
	}
	return names
}

// Fields lists every field this survey has: the fixed ones and those of each
// list entry present, in the order one walks the site.
func Fields(s *Survey) []Field {
	n := len(fixedFields)
	for i := range lists {
		n += len(lists[i].fields) * lists[i].count(s)
	}
	all := make([]Field, 0, n)
	for i := range fixedFields {
		all = appendLists(append(all, fixedFields[i]), s, fixedFields[i].Path)
	}
	return appendLists(all, s, "")
}

// appendLists adds the entries of the lists that follow a field; those that
// follow all of them where it is "".
func appendLists(all []Field, s *Survey, after string) []Field {
	for i := range lists {
		if lists[i].after == after {
			all = lists[i].appendFields(all, s)
		}
	}
	return all
}
