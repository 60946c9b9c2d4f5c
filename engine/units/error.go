package units

import (
	"strconv"
	"strings"
)

// Reason is why a text was refused.
type Reason string

// The reasons for a refusal.
const (
	Empty       Reason = "nothing was entered"
	TooLong     Reason = "too long for a measurement"
	NoNumber    Reason = "a number was expected"
	Unfinished  Reason = "the number stops after its decimal sign"
	BadGroups   Reason = "thousands stand in groups of three"
	BadFraction Reason = "a tape fraction is less than one, with 2, 4, 8, 16, 32 or 64 below the line"
	MetricPart  Reason = "tape fractions belong to inches"
	UnknownUnit Reason = "not a unit of this measurement"
	WrongOrder  Reason = "the smaller unit must follow the larger one of its kind"
	TooMany     Reason = "the smaller unit must be less than one of the larger"
	Trailing    Reason = "nothing may follow the measurement"
	Ambiguous   Reason = "this can be read in two ways"
	NoSlope     Reason = "a slope is less than upright, and its run is not nothing"
)

// ParseError says which text was refused, where and why.
type ParseError struct {
	Text     string   // as it was given
	At       int      // byte offset in Text at which reading stopped
	Found    string   // what stood there; empty at the end of the text
	Reason   Reason   // why it was refused
	Readings []string // for Ambiguous: what it could mean
	Allowed  string   // what may be typed
}

const (
	lengthAllowed = `3204, 3.204 m, 320.4 cm, 10' 6 1/2", 126.5"`
	slopeAllowed  = `2.5 %, 1:40, 1 in 40, 1.4°, 25 mm/m`
	angleAllowed  = `12.5, 12.5°, -3`
)

// Error gives the refusal in one sentence.
func (e *ParseError) Error() string {
	var b strings.Builder
	b.WriteString(strconv.Quote(e.Text))
	b.WriteString(": ")
	b.WriteString(string(e.Reason))
	if len(e.Readings) > 0 {
		b.WriteString(": ")
		b.WriteString(strings.Join(e.Readings, " or "))
		b.WriteString("; write the unit meant")
	} else if e.Found != "" {
		b.WriteString(", found ")
		b.WriteString(strconv.Quote(e.Found))
		b.WriteString(" after ")
		b.WriteString(strconv.Itoa(len([]rune(e.Text[:e.At]))))
		b.WriteString(" characters")
	}
	b.WriteString("; for example ")
	b.WriteString(e.Allowed)
	return b.String()
}
