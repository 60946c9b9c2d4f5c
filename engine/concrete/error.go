package concrete

import (
	"math"

	"pegpour/engine/refusal"
)

// ArgumentError says which argument was refused, what was given and what is
// allowed.
type ArgumentError = refusal.ArgumentError

// The greatest sizes of anything a gate installer pours, far beyond any job.
const (
	mostLength = 1e6  // mm: a kilometre
	mostArea   = 1e10 // mm²: a hectare
	mostVolume = 1e13 // mm³: ten thousand cubic metres
	mostMass   = 1e7  // kg
	leastPart  = 1e-3 // of a mm, mm², mm³: what is less is nothing
)

func length(name string, given float64) refusal.Allowed {
	return refusal.Allow(name, given, 0, mostLength, "mm")
}

func positiveLength(name string, given float64) refusal.Allowed {
	return refusal.Allow(name, given, leastPart, mostLength, "mm")
}

func area(name string, given float64) refusal.Allowed {
	return refusal.Allow(name, given, 0, mostArea, "mm²")
}

func volume(name string, given float64) refusal.Allowed {
	return refusal.Allow(name, given, 0, mostVolume, "mm³")
}

func positiveVolume(name string, given float64) refusal.Allowed {
	return refusal.Allow(name, given, leastPart, mostVolume, "mm³")
}

// roundedUp is the least whole number not less than n, a billionth let go.
func roundedUp(n float64) int { return int(math.Ceil(n - 1e-9)) }

// mostCount keeps counts within what int holds everywhere.
const mostCount = 1e9

func count(name string, n float64) (int, error) {
	if err := refusal.First(refusal.Allow(name, n, 0, mostCount, "")); err != nil {
		return 0, err
	}
	return roundedUp(n), nil
}
