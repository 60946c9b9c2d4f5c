// Package slab holds the stresses of concrete slabs and strips on the ground
// under wheels, and what plain and reinforced strips can bear. It knows no
// gates.
//
// Units: mm, N, MPa, N·mm; modulus of subgrade reaction N/mm³. All are
// first-pass checks by published formulas; they do not replace an engineer.
package slab
