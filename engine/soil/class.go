package soil

import "pegpour/engine/refusal"

// Class is a soil with its presumptive strengths and usual properties.
type Class struct {
	Key  string // e.g. "sand"
	Name string // in the trade's words
	// Presumed says whether the building code lets strengths be presumed. For
	// the others Bearing, Lateral, Friction and Adhesion are 0: they need a
	// soils investigation.
	Presumed bool
	Bearing  float64 // MPa, presumptive vertical pressure
	Lateral  float64 // MPa for each mm of depth, presumptive lateral pressure
	Friction float64 // sliding coefficient on dead load; 0 where Adhesion holds
	Adhesion float64 // MPa of contact area against sliding; 0 where Friction holds

	FrictionAngle   Span // rad, drained
	UnitWeight      Span // N/mm³, moist
	SubgradeModulus Span // N/mm³, modulus of subgrade reaction k
}

// Span is a range of a property. A check takes the end that is worse for it.
type Span struct{ Low, Typical, High float64 }

func (s Span) times(f float64) Span { return Span{s.Low * f, s.Typical * f, s.High * f} }

// Sources of the table.
const (
	// SourcePresumptive is where Bearing, Lateral, Friction and Adhesion stand.
	SourcePresumptive = "International Building Code, table 1806.2"
	// SourceFrictionAngle is where FrictionAngle stands; recalled from memory,
	// clays are common practice.
	SourceFrictionAngle = "B. M. Das, Principles of Geotechnical Engineering, table of drained friction angles (memory)"
	// SourceUnitWeight is where UnitWeight stands; recalled from memory.
	SourceUnitWeight = "BS 8002, table of unit weights (memory)"
	// SourceSubgrade is where SubgradeModulus stands; recalled from memory. Soft
	// and unknown ground is common practice, no published source.
	SourceSubgrade = "Portland Cement Association, Thickness Design for Concrete Highway and Street Pavements " +
		"(1984), table of subgrade k (memory)"
)

type classRow struct {
	key, name                            string
	bearing, lateral, friction, cohesion float64 // psf, psf/ft, –, psf
	angle, weight, k                     Span    // degrees, kN/m³, pci
}

// class gives a row in the engine's units.
func (r *classRow) class() Class {
	return Class{
		Key: r.key, Name: r.name, Presumed: r.bearing > 0,
		Bearing:  r.bearing * poundsPerSquareFoot,
		Lateral:  r.lateral * psfPerFoot,
		Friction: r.friction, Adhesion: r.cohesion * poundsPerSquareFoot,
		FrictionAngle:   r.angle.times(degree),
		UnitWeight:      r.weight.times(kilonewtonPerCubic),
		SubgradeModulus: r.k.times(pci),
	}
}

var classRows = [...]classRow{
	{"rock", "Sound rock", 12000, 1200, 0.70, 0, Span{40, 45, 50}, Span{22, 25, 27}, Span{220, 300, 500}},
	{"soft-rock", "Layered or soft rock", 4000, 400, 0.35, 0, Span{35, 38, 45}, Span{20, 22, 25}, Span{220, 250, 400}},
	{"gravel", "Gravel or sandy gravel", 3000, 200, 0.35, 0, Span{34, 38, 45}, Span{16, 19, 21}, Span{180, 200, 220}},
	{"sand", "Sand, silty or clayey sand or gravel", 2000, 150, 0.25, 0, Span{28, 32, 38}, Span{15, 18, 20},
		Span{130, 150, 170}},
	{"clay", "Firm clay, sandy clay or silt", 1500, 100, 0, 130, Span{20, 24, 28}, Span{16, 18, 20},
		Span{75, 100, 120}},
	{"soft", "Soft clay, mud, peat or organic soil", 0, 0, 0, 0, Span{15, 18, 22}, Span{11, 15, 18}, Span{20, 40, 75}},
	{"fill", "Fill that was not compacted, or not known", 0, 0, 0, 0, Span{20, 25, 30}, Span{15, 17, 19},
		Span{20, 50, 100}},
}

// Classes returns the soil classes from the strongest to the weakest.
//
// Source: the Source constants. Presumptive values: read in a printed copy of
// IBC 2012 table 1806.2. Checked: testdata/references/soil.json, ibc-1806-*.
func Classes() []Class {
	out := make([]Class, len(classRows))
	for i := range classRows {
		out[i] = classRows[i].class()
	}
	return out
}

// ClassOf returns the class of a key; false when there is none.
func ClassOf(key string) (Class, bool) {
	for i := range classRows {
		if classRows[i].key == key {
			return classRows[i].class(), true
		}
	}
	return Class{}, false
}

// AdhesionMost is the part of the dead load that adhesion on clay may come to.
//
// Source: IBC 1806.3.2 (memory).
const AdhesionMost = 0.5

// SlidingResistance returns the force (N/mm of length) that a footing of a
// weight (N/mm) and a contact width (mm) has against sliding on the class.
//
// In clays it is the adhesion on the contact area, at most AdhesionMost of the dead load.
//
// Source: IBC 1806.3.2 (half the dead load: memory).
func (c Class) SlidingResistance(weight, contact float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("weight", weight, 0, 1e6, "N/mm"),
		refusal.Allow("contact width", contact, 0, 1e5, "mm"),
	); err != nil {
		return 0, err
	}
	if c.Adhesion > 0 {
		return min(c.Adhesion*contact, AdhesionMost*weight), nil
	}
	return c.Friction * weight, nil
}
