package concrete

import "pegpour/engine/refusal"

// Figures of the dry-volume method.
const (
	// DryVolume is the loose volume of cement, sand and stone that makes one of
	// concrete in place.
	//
	// Source: handbook rule, 1.54 (read; case nominal-1-2-4); 1.50 to 1.57 are in
	// print.
	DryVolume = 1.54
	// CementBulk is the mass of loose cement, kg/m³ (same source).
	CementBulk = 1440
)

// Proportions of a mix by volume: 1 : Sand : Stone to one of cement.
type Proportions struct {
	Cement, Sand, Stone float64
}

// Materials are what a volume of concrete is mixed from.
type Materials struct {
	Cement float64 // kg
	Sand   float64 // mm³, loose
	Stone  float64 // mm³, loose
	Water  float64 // kg, which is litres; 0 where the method gives none
}

// MixByVolume is what a volume of concrete needs by the dry-volume method.
//
//	cement = V·f·c/(c+s+a)·ρ, sand = V·f·s/(c+s+a), stone = V·f·a/(c+s+a)
//
// v is the volume to mix (mm³), f the dry volume to one in place (1.3 to 1.8,
// DryVolume), ρ the bulk density of cement (1000 to 1700 kg/m³, CementBulk).
// Each proportion is 0 to 20, cement more than 0. The method knows no water: that
// follows from a water-cement ratio with WaterFor.
//
// Source: handbook rule (read). Checked: testdata/references, nominal-1-2-4,
// nominal-1-1.5-3.
func MixByVolume(v float64, mix Proportions, f, cementBulk float64) (Materials, error) {
	err := refusal.First(volume("volume to mix", v),
		refusal.Allow("parts of cement", mix.Cement, 0.01, 20, ""),
		refusal.Allow("parts of sand", mix.Sand, 0, 20, ""),
		refusal.Allow("parts of stone", mix.Stone, 0, 20, ""),
		refusal.Allow("dry volume to one in place", f, 1.3, 1.8, ""),
		refusal.Allow("bulk density of cement", cementBulk, 1000, 1700, "kg/m³"))
	if err != nil {
		return Materials{}, err
	}
	part := v * f / (mix.Cement + mix.Sand + mix.Stone)
	return Materials{Cement: part * mix.Cement * cementBulk / 1e9, Sand: part * mix.Sand, Stone: part * mix.Stone}, nil
}

// MixByCement is the cement and water of a volume of concrete with a stated
// cement content, as ready-mix is specified. content is 100 to 600 kg/m³, ratio
// the water to one of cement by mass, 0.3 to 1. Sand and stone are the plant's
// and left at 0.
func MixByCement(v, content, ratio float64) (Materials, error) {
	err := refusal.First(volume("volume to mix", v),
		refusal.Allow("cement content", content, 100, 600, "kg/m³"),
		refusal.Allow("water to cement", ratio, 0.3, 1, ""))
	if err != nil {
		return Materials{}, err
	}
	cement := v / 1e9 * content
	return Materials{Cement: cement, Water: cement * ratio}, nil
}

// WaterFor is the water for cement of mass m (kg) at a water-cement ratio of 0.3
// to 1, in kg, which is litres.
func WaterFor(m, ratio float64) (float64, error) {
	if err := refusal.First(refusal.Allow("mass of cement", m, 0, mostMass, "kg"),
		refusal.Allow("water to cement", ratio, 0.3, 1, "")); err != nil {
		return 0, err
	}
	return m * ratio, nil
}

// CementBags is how many bags of mass bag (1 to 2000 kg) hold a mass of cement,
// rounded up.
func CementBags(m, bag float64) (int, error) {
	if err := refusal.First(refusal.Allow("mass of cement", m, 0, mostMass, "kg"),
		refusal.Allow("mass of a bag", bag, 1, 2000, "kg")); err != nil {
		return 0, err
	}
	return count("bags of cement", m/bag)
}
