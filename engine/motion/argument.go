package motion

import (
	"math"

	"pegpour/engine/refusal"
)

// ArgumentError says which value was refused, what was given and what is
// allowed. Every function here returns it, and only it, for values it cannot
// use.
type ArgumentError = refusal.ArgumentError

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
