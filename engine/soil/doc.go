// Package soil holds a table of soil classes, the embedment of posts, also beside
// a bank, earth pressure, what ground bears under a leaning load, and the
// stability of low retaining walls. It knows no gates.
//
// Units: mm, N, MPa, rad; unit weights N/mm³ (1 kN/m³ = 1e-6 N/mm³), subgrade
// modulus N/mm³. Forces of walls are for one millimetre of wall: 1 N/mm is
// 1 kN/m, and 1 N·mm/mm is 0.001 kN·m/m. All are first-pass checks by published
// formulas; they do not replace an engineer or a soils investigation.
package soil

// Conversions of the tables' units. The pound-force is exact by definition.
const (
	poundForce          = 4.4482216152605                   // N
	poundsPerSquareFoot = poundForce / (304.8 * 304.8)      // MPa
	psfPerFoot          = poundsPerSquareFoot / 304.8       // MPa per mm of depth
	pci                 = poundForce / (25.4 * 25.4 * 25.4) // N/mm³
	kilonewtonPerCubic  = 1e-6                              // N/mm³
	degree              = 0.017453292519943295              // rad
)

// WaterWeight is the weight of water, N/mm³: 9.81 kN/m³.
//
// Source: 1000 kg/m³ under an acceleration of 9.81 m/s², as the texts on walls
// take it.
const WaterWeight = 9.81e-6

// BaseFrictionPart is the part of the ground's friction angle that acts between
// it and a base of concrete, where no code gives a sliding coefficient.
//
// Source: B. M. Das, Principles of Foundation Engineering, chapter on retaining
// walls: half to two thirds (memory).
const BaseFrictionPart = 2.0 / 3
