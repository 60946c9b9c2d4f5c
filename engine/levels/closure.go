package levels

import (
	"math"

	"pegpour/engine/refusal"
)

// ByDistance is the allowance k√K for a levelled line, mm: k in mm per root
// kilometre (1 to 100), run the distance levelled in mm (0 to 100 km).
//
//	allowance = k·√(run in km)
//
// Source: FGCC, Standards and Specifications for Geodetic Control Networks,
// 1984, section 3.5, tabulates k by order. Checked: case misclosure-12.
func ByDistance(k, run float64) (float64, error) {
	if err := within("allowance factor", -1, k, 0.1, 1000); err != nil {
		return 0, err
	}
	if err := within("distance levelled", -1, run, 0, 1e8); err != nil {
		return 0, err
	}
	return k * math.Sqrt(run/1e6), nil
}

// BySetups is the allowance k√n for n instrument setups, mm: k in mm per root
// setup (0.1 to 1000), n from 1.
//
// Source: the law of error of a series, E√n: J. Mahun, open-access surveying,
// Elevations ch. E, equation E-2.
func BySetups(k float64, setups int) (float64, error) {
	if err := within("allowance factor", -1, k, 0.1, 1000); err != nil {
		return 0, err
	}
	if err := within("number of setups", -1, float64(setups), 1, MaxPoints); err != nil {
		return 0, err
	}
	return k * math.Sqrt(float64(setups)), nil
}

// Share says how a misclosure is shared out.
type Share string

// Ways of sharing a misclosure.
const (
	EqualSetups   Share = "by setups"   // each setup takes as much
	EqualDistance Share = "by distance" // each setup takes as its Run
)

// Closure is a page closed on a point of known level.
type Closure struct {
	Known      float64 // level that the last row should have, mm
	Measured   float64 // level that it came to, mm
	Misclosure float64 // Measured − Known, mm
	Allowance  float64 // mm
	Within     bool    // |Misclosure| ≤ Allowance
	// Corrections and Adjusted are by row, mm; rows without a level hold 0.
	Corrections, Adjusted []float64
}

// Errors of Close beside RangeError.
var (
	// ErrNotClosed: the page does not end on a foresight, or was stopped.
	ErrNotClosed = error(refusal.Error("the page does not end on a foresight, so it cannot be closed"))
	// ErrNoRun: sharing by distance needs the Run of every foresight.
	ErrNoRun = error(refusal.Error("sharing by distance needs the distance of every setup"))
)

// Close compares the last level of a page with the known level of that point
// (mm) and shares the misclosure out: every sight of setup j takes
//
//	−M · (run of setups 1 … j)/(run of all)   or   −M · j/n
//
// since all were read from the same instrument position. allowance is in mm,
// from ByDistance or BySetups, 0 or more. A page beyond it is adjusted all the
// same and says so in Within: it must be levelled again, not adjusted.
//
// Source: J. Mahun, open-access surveying, Elevations ch. E (there with
// M = known − measured); shared over the backsights as in the practice
// described at level-online.net, example 2.
func Close(rows []Row, r *Reduction, known, allowance float64, share Share) (Closure, error) {
	if err := within("known closing level", -1, known, -MaxLevel, MaxLevel); err != nil {
		return Closure{}, err
	}
	if err := within("allowance", -1, allowance, 0, 1e5); err != nil {
		return Closure{}, err
	}
	n := len(rows)
	if r == nil || n < 2 || len(r.Rows) != n || r.StoppedAt >= 0 || !rows[n-1].Fore.Taken || rows[n-1].Back.Taken ||
		!r.Rows[n-1].Known || r.Setups < 1 {
		return Closure{}, ErrNotClosed
	}
	part := make([]float64, r.Setups+1)
	for j := range part {
		part[j] = float64(j) / float64(r.Setups)
	}
	if share == EqualDistance {
		if err := shareByRun(rows, r, part); err != nil {
			return Closure{}, err
		}
	}
	c := Closure{Known: known, Measured: r.Rows[n-1].ByRiseAndFall, Allowance: allowance,
		Corrections: make([]float64, n), Adjusted: make([]float64, n)}
	c.Misclosure = c.Measured - known
	c.Within = math.Abs(c.Misclosure) <= allowance
	for i, red := range r.Rows {
		if red.Known {
			c.Corrections[i] = -c.Misclosure * part[red.Setup]
			c.Adjusted[i] = red.ByRiseAndFall + c.Corrections[i]
		}
	}
	return c, nil
}

func shareByRun(rows []Row, r *Reduction, part []float64) error {
	var total float64
	for i := range rows {
		if !rows[i].Fore.Taken {
			continue
		}
		if !(rows[i].Run > 0) || rows[i].Run > MaxCoordinate {
			return ErrNoRun
		}
		total += rows[i].Run
		part[r.Rows[i].Setup] = total
	}
	if !(total > 0) {
		return ErrNoRun
	}
	for j := range part {
		part[j] /= total
	}
	part[0] = 0
	return nil
}
