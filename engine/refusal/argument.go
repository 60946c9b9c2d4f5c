package refusal

import "math"

// ArgumentError says which value was refused, what was given and what is
// allowed.
type ArgumentError struct {
	Argument  string  // the value in the trade's words
	Given     float64 // as it was given, NaN and infinities included
	Low, High float64 // allowed range, both ends included
	Unit      string  // of Given, Low and High; empty for pure numbers
	Detail    string  // what is wrong where the range alone does not say it
}

// Error gives the refusal in one sentence.
func (e *ArgumentError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values; angles are in degrees.
func (e *ArgumentError) Refusal() Message {
	number := func(v float64) Arg {
		if e.Unit == "rad" {
			return Number(math.Round(v*180/math.Pi*1e4)/1e4, "°")
		}
		return Number(v, e.Unit)
	}
	if e.Detail != "" {
		return Say("{0}: given {1}, allowed {2} to {3}: {4}", Name(e.Argument), number(e.Given), number(e.Low),
			number(e.High), Name(e.Detail))
	}
	return Say("{0}: given {1}, allowed {2} to {3}", Name(e.Argument), number(e.Given), number(e.Low), number(e.High))
}

// Allowed is one value with the range it must lie in.
type Allowed struct {
	argument         string
	given, low, high float64
	unit             string
}

// Allow is a value, in the trade's words, with the range it must lie in, both
// ends included; unit is theirs, empty for pure numbers.
func Allow(argument string, given, low, high float64, unit string) Allowed {
	return Allowed{argument, given, low, high, unit}
}

// First is an *ArgumentError for the first value that is no number or outside
// its range; nil when all are good.
func First(values ...Allowed) error {
	for _, v := range values {
		if math.IsNaN(v.given) || v.given < v.low || v.given > v.high {
			return &ArgumentError{Argument: v.argument, Given: v.given, Low: v.low, High: v.high, Unit: v.unit}
		}
	}
	return nil
}

// ListedError refuses one value of a list: which, what was given, what is
// allowed.
type ListedError struct {
	Argument  string  // in the trade's words, e.g. "sight length"
	Index     int     // place in the list given, from 0; -1 for a single value
	Given     float64 // as given; may be NaN or infinite
	Low, High float64 // allowed, both ends included
}

// Error is the refusal in one sentence.
func (e *ListedError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *ListedError) Refusal() Message {
	given, low, high := Number(e.Given, ""), Number(e.Low, ""), Number(e.High, "")
	if e.Index >= 0 {
		return Say("{0} {1}: given {2}, allowed {3} to {4}", Name(e.Argument), Count(e.Index+1), given, low, high)
	}
	return Say("{0}: given {1}, allowed {2} to {3}", Name(e.Argument), given, low, high)
}

// Within refuses v when it is not a number from low to high.
func Within(argument string, index int, v, low, high float64) error {
	if v >= low && v <= high { // false for NaN
		return nil
	}
	return &ListedError{Argument: argument, Index: index, Given: v, Low: low, High: high}
}
