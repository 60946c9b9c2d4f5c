package motion

import (
	"math"
	"strconv"
	"strings"
)

// ArgumentError says which value was refused, what was given and what is
// allowed. Every function here returns it, and only it, for values it cannot
// use.
type ArgumentError struct {
	Argument  string  // the value in the trade's words
	Given     float64 // as it was given, NaN and infinities included
	Low, High float64 // allowed range, both ends included
	Unit      string  // of Given, Low and High; empty for pure numbers
	Detail    string  // what is wrong where the range alone does not say it
}

// Error gives the refusal in one sentence.
func (e *ArgumentError) Error() string {
	var b strings.Builder
	b.WriteString(e.Argument)
	b.WriteString(": given ")
	b.WriteString(plain(e.Given))
	b.WriteString(", allowed ")
	b.WriteString(plain(e.Low))
	b.WriteString(" to ")
	b.WriteString(plain(e.High))
	if e.Unit != "" {
		b.WriteString(" ")
		b.WriteString(e.Unit)
	}
	if e.Detail != "" {
		b.WriteString(": ")
		b.WriteString(e.Detail)
	}
	return b.String()
}

func plain(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

// allowed is one value with the range it must lie in.
type allowed struct {
	argument         string
	given, low, high float64
	unit             string
}

// refuse returns an error for the first value outside its range or not a
// number, nil when all are good.
func refuse(values ...allowed) error {
	for _, v := range values {
		if math.IsNaN(v.given) || v.given < v.low || v.given > v.high {
			return &ArgumentError{Argument: v.argument, Given: v.given, Low: v.low, High: v.high, Unit: v.unit}
		}
	}
	return nil
}
