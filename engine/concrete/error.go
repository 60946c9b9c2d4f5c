package concrete

import (
	"math"

	"pegpour/engine/refusal"
)

// RangeError says which argument was refused, what was given and what is
// allowed.
type RangeError = refusal.ArgumentError

// The greatest sizes of anything a gate installer pours, far beyond any job.
const (
	mostLength = 1e6  // mm: a kilometre
	mostArea   = 1e10 // mm²: a hectare
	mostVolume = 1e13 // mm³: ten thousand cubic metres
	mostMass   = 1e7  // kg
	leastPart  = 1e-3 // of a mm, mm², mm³: what is less is nothing
)

// argument is a value with its range.
type argument struct {
	name             string
	given, low, high float64
	unit             string
}

// check refuses the first argument that is out of range.
func check(arguments ...argument) error {
	for _, a := range arguments {
		if !(a.given >= a.low && a.given <= a.high) {
			return &RangeError{Argument: a.name, Given: a.given, Low: a.low, High: a.high, Unit: a.unit}
		}
	}
	return nil
}

func length(name string, given float64) argument {
	return argument{name, given, 0, mostLength, "mm"}
}

func positiveLength(name string, given float64) argument {
	return argument{name, given, leastPart, mostLength, "mm"}
}

func area(name string, given float64) argument { return argument{name, given, 0, mostArea, "mm²"} }

func volume(name string, given float64) argument {
	return argument{name, given, 0, mostVolume, "mm³"}
}

func positiveVolume(name string, given float64) argument {
	return argument{name, given, leastPart, mostVolume, "mm³"}
}

// roundedUp is the least whole number not less than n, a billionth let go.
func roundedUp(n float64) int { return int(math.Ceil(n - 1e-9)) }

// mostCount keeps counts within what int holds everywhere.
const mostCount = 1e9

func count(name string, n float64) (int, error) {
	if err := check(argument{name, n, 0, mostCount, ""}); err != nil {
		return 0, err
	}
	return roundedUp(n), nil
}
