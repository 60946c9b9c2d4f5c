// Package casting judges what was read between the dig and the steel: tops of forms
// and depths before the concrete, how hard it is by now, and what stands there after
// it. It asks [engine.Design] again and changes nothing that was measured.
//
// # One sight, one fixed point
//
// Forms and poured concrete are read from one set-up of a laser, a level or a level
// string: every reading goes down from it, and the fixed point is read first and last.
// A site is a dozen metres long, so that one set-up sees all of it; the level book
// stays for the survey. A set-up that does not close judges nothing: half of its
// readings are wrong and nobody knows which half.
//
// # As poured is a survey
//
// What was poured replaces what was measured in a copy of the survey, and what no
// field of a survey can say (where the track lies, where guide post and motor
// stand) goes with the copy as [survey.Stands]. The same design then runs on it, so
// that leaf, rack and rail are cut by the same passes as before. A second kind of
// design with fewer passes was thought of and left: it would have to be kept equal.
//
// # Mean strength, and no more than 28 days
//
// Strength by age is that of EN 1992-1-1, 3.1.2(6). A share is asked of the mean
// strength that the design took, f_ck + 8; a mix that is sold as stronger reaches it
// sooner. What concrete gains after 28 days is not counted on: the standard does not
// let it make good a mix that is too weak. Hours below 0 °C or above 80 °C are not
// judged, since the adjusted age of B.10 holds between them.
package casting
