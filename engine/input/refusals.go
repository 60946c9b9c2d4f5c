package input

import (
	"strconv"
	"strings"

	"pegpour/engine/text"
)

// Reason is why a value was refused.
type Reason string

// The reasons for a refusal.
const (
	OutOfRange   Reason = "out of range"
	NotANumber   Reason = "not a number"
	NotAChoice   Reason = "not one of the choices"
	UnknownField Reason = "no such field"
	UnknownHow   Reason = "no such way of measuring"
	TooMany      Reason = "too many"
	Impossible   Reason = "impossible"
)

// FieldError says which value was refused, what was given and what is allowed.
type FieldError struct {
	Path      string         // where it stands, e.g. "opening.width"
	Name      text.Name      // the field in the trade's words
	Dimension text.Dimension // the unit family of Given, Low and High
	Given     float64        // for numbers
	Text      string         // for words and choices
	Low, High float64        // allowed range of a number, both ends included
	Allowed   []string       // allowed words of a choice
	Reason    Reason
	// Detail says what is wrong where the range alone does not.
	Detail text.Text
}

// Error gives the refusal in one sentence with engine units; screens format
// their own from the fields.
func (e *FieldError) Error() string {
	var b strings.Builder
	b.WriteString(e.Path)
	b.WriteString(" (")
	b.WriteString(e.Name.String())
	b.WriteString("): ")
	switch e.Reason {
	case OutOfRange, NotANumber:
		b.WriteString("given ")
		b.WriteString(plain(e.Given))
		b.WriteString(", allowed ")
		b.WriteString(plain(e.Low))
		b.WriteString(" to ")
		b.WriteString(plain(e.High))
		b.WriteString(unitSuffix(e.Dimension))
	case NotAChoice, UnknownHow:
		b.WriteString("given ")
		b.WriteString(strconv.Quote(e.Text))
		b.WriteString(", allowed ")
		b.WriteString(strings.Join(e.Allowed, ", "))
	default:
		b.WriteString(string(e.Reason))
	}
	if !e.Detail.Empty() {
		b.WriteString(": ")
		b.WriteString(e.Detail.String())
	}
	return b.String()
}

func plain(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

func unitSuffix(d text.Dimension) string {
	switch d {
	case text.Length:
		return " mm"
	case text.AngleOf:
		return " rad"
	case text.Area:
		return " mm²"
	case text.Volume:
		return " mm³"
	case text.Mass:
		return " kg"
	}
	return ""
}

// Refusals are all the values of one survey or practice that were refused. What
// is made beside them, a plan or a practice, is made without those values.
type Refusals []FieldError

// Error lists the refusals, one a line.
func (r Refusals) Error() string {
	lines := make([]string, len(r))
	for i := range r {
		lines[i] = r[i].Error()
	}
	return strings.Join(lines, "\n")
}

// At returns the refusal for a path, or nil.
func (r Refusals) At(path string) *FieldError {
	for i := range r {
		if r[i].Path == path {
			return &r[i]
		}
	}
	return nil
}

// OrNil is the refusals as an error, nil where there are none.
func (r Refusals) OrNil() error {
	if len(r) == 0 {
		return nil
	}
	return r
}
