// Package steel holds the section properties, beams, columns, anchors and
// cut-list nesting that a steel footing, a post or a leaf is checked with. It
// knows no gates.
//
// Units: mm, N, MPa, N·mm, kg. All checks are elastic first-pass checks by
// published formulas; they do not replace an engineer's design.
package steel

// Elasticity is the modulus of elasticity of structural steel, MPa.
//
// Source: EN 1993-1-1, 3.2.6, E = 210 000 N/mm² (memory).
const Elasticity = 210000

// Density is the density of structural steel, kg/m³.
//
// Source: EN 1991-1-1 table A.4 gives 77 to 78.5 kN/m³; 7850 kg/m³ is the value
// section tables of EN 10219-2 are computed with (memory).
const Density = 7850

// kilogramsPerMillimetre turns an area (mm²) and Density into kg per mm.
const kilogramsPerMillimetre = Density / 1e9
