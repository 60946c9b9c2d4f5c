package survey

import "pegpour/engine/text"

// Method says how a value was taken. The empty method means that it was not
// measured: the engine then uses the field's assumed value and says so.
type Method string

// The ways a value can be taken on site.
const (
	NotMeasured Method = ""
	ByTape      Method = "tape"
	ByLaser     Method = "laser"
	ByStaff     Method = "staff"
	ByString    Method = "string"
	ByPhone     Method = "phone"
	ByNetwork   Method = "network" // computed from taped distances between pegs
	ByEstimate  Method = "estimate"
)

// Methods lists every way a value can be taken, in the order a screen offers
// them.
func Methods() []Method {
	return []Method{ByTape, ByLaser, ByStaff, ByString, ByPhone, ByNetwork, ByEstimate}
}

// Valid reports whether m is a known method or NotMeasured.
func (m Method) Valid() bool {
	switch m {
	case NotMeasured, ByTape, ByLaser, ByStaff, ByString, ByPhone, ByNetwork, ByEstimate:
		return true
	}
	return false
}

// Value is one figure of the survey.
type Value struct {
	// Size in the field's own unit: mm for lengths, rad for angles, a plain
	// number for ratios and counts. Meaningless while How is NotMeasured.
	Size float64 `json:"size"`
	// How the value was taken; NotMeasured when it was not.
	How Method `json:"how,omitempty"`
	// Sigma is the standard uncertainty in the unit of Size; 0 means the one
	// that practice gives for the method.
	Sigma float64 `json:"sigma,omitempty"`
	// Text is the value as it was typed, kept so that nothing is lost when the
	// display unit changes.
	Text string `json:"text,omitempty"`
}

// Measured returns a value taken by the method given.
func Measured(size float64, how Method) Value { return Value{Size: size, How: how} }

// Known reports whether the value was measured, however roughly.
func (v Value) Known() bool { return v.How != NotMeasured }

// IsZero reports whether nothing at all was recorded, so that an untouched
// field does not appear in a document.
func (v Value) IsZero() bool { return v == Value{} }

// MethodWords are what a way of measuring this field is called, in English.
func (f Field) MethodWords(m Method) string {
	switch {
	case m == ByEstimate:
		return "by eye"
	case f.Dimension == text.Force:
		return "by gauge"
	case f.Dimension == text.Count:
		return "counted"
	case f.Dimension == text.Ratio:
		return "noted"
	case m == ByString:
		return "string line"
	}
	return string(m)
}
