// Package steel holds the section properties, beams, columns, anchors and
// cut-list nesting that a steel footing, a post or a leaf is checked with. It
// knows no gates.
//
// Units: mm, N, MPa, N·mm, kg. All checks are elastic first-pass checks by
// published formulas; they do not replace an engineer's design.
package steel

// The modulus of elasticity of structural steel, MPa: two codes give two values,
// five per cent apart.
//
// Where a bar must not sag, a post must not sway and a strut must not buckle the
// lower one is the safe side: LowElasticity. Where stiff anchors in softer
// concrete draw more of the load to themselves the higher one is: Elasticity. It
// also stands where nothing is judged by it: bending alone does not ask for it,
// and the sway of a guide post is told, not held against a limit.
//
// Source: EN 1993-1-1, 3.2.6, 210 000 N/mm²; AISC 360, 29 000 ksi, rounded to
// 200 000 MPa (both memory).
const (
	Elasticity    = 210000
	LowElasticity = 200000
)

// Density is the density of structural steel, kg/m³.
//
// Source: EN 1991-1-1 table A.4 gives 77 to 78.5 kN/m³; 7850 kg/m³ is the value
// the section tables of EN 10219-2 follow from.
const Density = 7850

// AluminiumDensity is the density of the aluminium of structural sections,
// kg/m³.
//
// Source: EN 1999-1-1, 3.2.5, 2700 kg/m³ (memory).
const AluminiumDensity = 2700.0

// AluminiumElasticity is the modulus of elasticity of structural aluminium, MPa.
//
// Source: EN 1999-1-1, 3.2.5, 70 000 MPa (memory).
const AluminiumElasticity = 70000.0

// kilogramsPerMillimetre turns an area (mm²) and Density into kg per mm.
const kilogramsPerMillimetre = Density / 1e9
