// Package levels reduces what was read on site to levels, adjusts networks of
// them, and brings levels to ground, falls, packing and dig. It knows no gates.
//
// Lengths and levels are mm, areas mm², volumes mm³, grades rise over run.
// Chainage runs along, offset across, level up. Everything is pure: the same
// readings give the same figures everywhere. Readings that cannot be used are
// refused with a typed error that names them; nothing panics on data.
package levels

import (
	"math"

	"pegpour/engine/refusal"
)

// Limits within which a level, a chainage or an offset can belong to one site.
// Common practice, no published source: wide enough for any yard, and narrow
// enough for plan coordinates to be exact in the triangulation.
const (
	// MaxLevel is the greatest level above or below the datum, mm (20 km).
	MaxLevel = 2e7
	// MaxCoordinate is the greatest chainage or offset either way, mm (1 km).
	MaxCoordinate = 1e6
	// MaxPoints is the most points one fit or surface takes.
	MaxPoints = 1000
)

// RangeError refuses one value: which, what was given, what is allowed.
type RangeError = refusal.ListedError

// within refuses v when it is not a number from low to high.
func within(argument string, index int, v, low, high float64) error {
	return refusal.Within(argument, index, v, low, high)
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// Point is one level taken at a place.
type Point struct {
	Name     string  // as called on site; may be empty
	Chainage float64 // along, mm, within ±MaxCoordinate
	Offset   float64 // across, mm, within ±MaxCoordinate
	Level    float64 // above the datum, mm, within ±MaxLevel
	Sigma    float64 // standard uncertainty of Level, mm, over 0 where a fit weighs it
}

func checkPoints(points []Point, withSigma bool) error {
	if err := within("number of points", -1, float64(len(points)), 0, MaxPoints); err != nil {
		return err
	}
	for i, p := range points {
		if err := within("chainage of point", i, p.Chainage, -MaxCoordinate, MaxCoordinate); err != nil {
			return err
		}
		if err := within("offset of point", i, p.Offset, -MaxCoordinate, MaxCoordinate); err != nil {
			return err
		}
		if err := within("level of point", i, p.Level, -MaxLevel, MaxLevel); err != nil {
			return err
		}
		if withSigma {
			if err := within("standard uncertainty of point", i, p.Sigma, minSigma, maxSigma); err != nil {
				return err
			}
		}
	}
	return nil
}

// A level is never known better than a hundredth of a millimetre on site, and
// one that is worse than ten metres says nothing.
const (
	minSigma = 0.01
	maxSigma = 10000
)
