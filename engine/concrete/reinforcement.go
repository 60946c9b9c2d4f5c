package concrete

import (
	"math"

	"pegpour/engine/refusal"
	"pegpour/engine/steel"
)

// Laps and room for mesh in footings.
const (
	// TrenchMeshLap is the least lap of trench mesh end to end, and of bars, mm.
	//
	// Source: an engineer's summary of AS 2870 (read; case mesh-laps). A lap at a
	// T or an L is the width of the mesh.
	TrenchMeshLap = 500
	// SquareMeshLap is the least lap of square mesh, mm (same source).
	SquareMeshLap = 225
	// TrenchMeshRoom is how much narrower trench mesh is than its footing, mm: 50
	// of cover on either side. Source: a steel supplier's guide (read).
	TrenchMeshRoom = 100
)

// BarMass is the nominal mass of a round bar or wire of diameter d (3 to 60 mm),
// kg/m.
//
//	ρ·π·d²/4
//
// Source: nominal masses of ISO 6935-2 follow from 7850 kg/m³ (memory). Checked:
// testdata/references, bar-*.
func BarMass(d float64) (float64, error) {
	if err := refusal.First(refusal.Allow("diameter of the bar", d, 3, 60, "mm")); err != nil {
		return 0, err
	}
	return steel.Density * math.Pi * d * d / 4 / 1e6, nil
}

// BarMassByRule is the rule of the site for the same, kg/m: d²/162, heavier by
// 0.12 %.
func BarMassByRule(d float64) (float64, error) {
	if err := refusal.First(refusal.Allow("diameter of the bar", d, 3, 60, "mm")); err != nil {
		return 0, err
	}
	return d * d / 162, nil
}

// Run is a line of bars or mesh along a footing, lapped from stock lengths.
type Run struct {
	Length float64   // from end to end, mm
	Laps   int       // how many
	Pieces []float64 // lengths to cut in the order laid, mm: whole stock, then the rest
	Cut    float64   // the sum of the pieces, mm
}

// mostPieces keeps a run to what can be laid.
const mostPieces = 10000

// LapRun lays a line along a footing of length l with the cover given at either
// end, from stock lengths, each joint lapped.
//
//	n = ⌈(l − 2c − lap)/(stock − lap)⌉, at least 1
//
// All in mm; cover 0 to 150, stock more than twice the lap. The last piece is
// always longer than the lap. A footing too short for its cover gives a
// *ArgumentError.
func LapRun(l, cover, stock, lap float64) (Run, error) {
	if err := refusal.First(positiveLength("length", l), refusal.Allow("cover", cover, 0, 150, "mm"),
		length("lap", lap)); err != nil {
		return Run{}, err
	}
	run := l - 2*cover
	if err := refusal.First(refusal.Allow("stock length", stock, max(1, 2*lap), mostLength, "mm"),
		positiveLength("length between covers", run)); err != nil {
		return Run{}, err
	}
	n := 1
	if run > stock {
		pieces := (run - lap) / (stock - lap)
		if err := refusal.First(refusal.Allow("pieces", pieces, 0, mostPieces, "")); err != nil {
			return Run{}, err
		}
		n = roundedUp(pieces)
	}
	r := Run{Length: run, Laps: n - 1, Pieces: make([]float64, n)}
	for i := range n - 1 {
		r.Pieces[i] = stock
	}
	// Not longer than stock, whatever roundedUp let go.
	r.Pieces[n-1] = min(stock, run-float64(float64(n-1)*(stock-lap)))
	for _, p := range r.Pieces {
		r.Cut += p
	}
	return r, nil
}

// TrenchMesh is the widest mesh of those in stock (mm, any order) that fits a
// footing of width w with cover on either side (0 to 150 mm); ok is false when
// none does.
func TrenchMesh(w, cover float64, stock ...float64) (widest float64, ok bool, err error) {
	if err := refusal.First(positiveLength("width", w), refusal.Allow("cover", cover, 0, 150, "mm")); err != nil {
		return 0, false, err
	}
	for _, s := range stock {
		if err := refusal.First(positiveLength("width of mesh", s)); err != nil {
			return 0, false, err
		}
		if s <= w-2*cover && s > widest {
			widest, ok = s, true
		}
	}
	return widest, ok, nil
}

// CrossBars is how many bars lie across a footing of length l with cover at both
// ends and not more than spacing between them (25 to 3000 mm); one at each end.
func CrossBars(l, cover, spacing float64) (int, error) {
	if err := refusal.First(positiveLength("length", l), refusal.Allow("cover", cover, 0, 150, "mm"),
		refusal.Allow("spacing", spacing, 25, 3000, "mm")); err != nil {
		return 0, err
	}
	if err := refusal.First(positiveLength("length between covers", l-2*cover)); err != nil {
		return 0, err
	}
	return roundedUp((l-2*cover)/spacing) + 1, nil
}
