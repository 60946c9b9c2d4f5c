// Package motion holds the forces that move, hold and stop a leaf on wheels,
// and the loads on its wheels. It knows no gates.
//
// Units: mm, N, kg, rad; speeds mm/s, energy N·mm (1 J = 1000 N·mm). Directions:
// u runs along the track; a grade is positive when the track rises with u; a
// force is positive along u.
package motion

// Gravity is the standard acceleration of free fall, m/s², so that kg times it
// is N. Source: exact by definition (ISO 80000-3).
const Gravity = 9.80665

// steepest is the steepest track taken, rad (45°).
const steepest = 0.7853981633974483
