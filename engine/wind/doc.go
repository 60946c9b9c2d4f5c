// Package wind holds wind pressure and the forces of wind on an upright leaf,
// fence or wall. It knows no gates.
//
// Units: mm, N, MPa, N·mm, except wind speeds in m/s and pressures of wind in
// Pa, as every wind map and code prints them (1 Pa = 1e-6 MPa). All are
// first-pass checks by published formulas; the wind speed is the user's to take
// from the code in force.
package wind
