// Package anchor judges anchors in concrete, one, a pair or a group under one
// plate, in tension and shear: steel, cone, pull-out or bond, the side face,
// the concrete's edge, pry-out, and both together. It knows no gates.
//
// Units: mm, N, MPa, N·mm. Concrete is taken as cracked, of normal weight and
// without bars about the anchors. Plates stand on the concrete or on grout;
// anchors that stand free of it bend, which is not looked at. Loads that strike
// are outside the source: give them as a standing force that is as great.
//
// # One convention
//
// Loads are characteristic, as they act; all safety stands on the strength's
// side. The source is written for strength design, φ·R ≥ γ·load. Here
//
//	Allowable = φ·R/γ
//
// with the source's own φ and one load factor γ for all loads: StrengthFactor
// is the least that covers wind and people both.
//
// # Source
//
// ACI 318-19, chapter 17, in the SI form of ACI 318M-19: formulas, factors and
// limits read in design guides that print them beside worked examples, and in
// Guide to the Concrete Capacity Design Method, ACI 349.2R-07, examples A1 to
// A3. The SI form rounds coefficients; where it rounds up, the exact conversion
// stands here: 0.58 for 0.6 in shear.
package anchor
