package wind

import (
	"pegpour/engine/elementary"
	"pegpour/engine/refusal"
)

// AirDensity is the density of air for wind pressures, kg/m³.
//
// Source: EN 1991-1-4, 4.5, recommended value (memory).
const AirDensity = 1.25

// maxSpeed bounds wind speeds, m/s: above any code's map.
const maxSpeed = 120

// BasicPressure returns the pressure of a wind speed (m/s), Pa.
//
//	q = ½·ρ·v²,  ρ = 1.25 kg/m³
//
// Source: EN 1991-1-4, 4.5. Checked: testdata/references/wind.json, wind-en-40.
func BasicPressure(speed float64) (float64, error) {
	if err := refusal.First(refusal.Allow("wind speed", speed, 0, maxSpeed, "m/s")); err != nil {
		return 0, err
	}
	return AirDensity / 2 * speed * speed, nil
}

// Terrain is a roughness class of the ground around.
type Terrain struct {
	Key, Name string
	Roughness float64 // mm, z0
	Least     float64 // mm, height below which the pressure no longer falls
}

// Terrains returns the terrain categories, the most open first.
//
// Source: EN 1991-1-4 table 4.1 (memory; the expressions read in public code).
func Terrains() []Terrain {
	return []Terrain{
		{"0", "Open sea or coast", 3, 1000},
		{"I", "Flat open ground without obstacles", 10, 1000},
		{"II", "Low grass with single trees and houses", 50, 2000},
		{"III", "Villages, suburbs, forest", 300, 5000},
		{"IV", "Towns, most buildings over 15 m", 1000, 10000},
	}
}

// TerrainOf returns the category of a key; false when there is none.
func TerrainOf(key string) (Terrain, bool) {
	for _, t := range Terrains() {
		if t.Key == key {
			return t, true
		}
	}
	return Terrain{}, false
}

// Exposure returns what a basic pressure is multiplied by at a height (mm, 0 to
// 200 000) over flat ground for the peak in gusts.
//
//	c_e = (1 + 7/ln(z/z0))·(k_r·ln(z/z0))²,  k_r = 0.19·(z0/50 mm)^0.07
//
// Source: EN 1991-1-4, 4.3 to 4.5. Checked: testdata/references/wind.json,
// exposure-*.
func (t Terrain) Exposure(height float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("height above ground", height, 0, 200000, "mm"),
		refusal.Allow("roughness length", t.Roughness, 1, 2000, "mm"),
		refusal.Allow("least height", t.Least, 1000, 20000, "mm"),
	); err != nil {
		return 0, err
	}
	log := elementary.Log(max(height, t.Least) / t.Roughness)
	rough := 0.19 * elementary.Pow(t.Roughness/50, 0.07) * log
	return (1 + 7/log) * rough * rough, nil
}

// PeakPressure returns the peak pressure (Pa) of a basic wind speed (m/s, ten
// minutes' mean) at a height (mm).
func (t Terrain) PeakPressure(speed, height float64) (float64, error) {
	q, err := BasicPressure(speed)
	if err != nil {
		return 0, err
	}
	c, err := t.Exposure(height)
	return q * c, err
}

// GustPressure returns the pressure (Pa) of a three-second gust speed (m/s).
//
//	q = 0.613·K·V²
//
// factor K is the product of the exposure, topographic and directionality
// factors (K_z·K_zt·K_d), 0.1 to 5.
//
// Source: ASCE 7-16 equation 26.10-1.si. Checked:
// testdata/references/wind.json, wind-asce-*, and wind_read.json, asce-*.
func GustPressure(speed, factor float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("gust speed", speed, 0, maxSpeed, "m/s"),
		refusal.Allow("product of factors", factor, 0.1, 5, ""),
	); err != nil {
		return 0, err
	}
	return 0.613 * factor * speed * speed, nil
}
