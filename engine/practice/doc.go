// Package practice is how one shop builds: every rule of thumb, every size that a
// practitioner may disagree with and every rate, as numbers. It knows no survey.
//
// Lengths mm, areas mm², volumes mm³, masses kg, forces N, stresses and pressures
// on the ground MPa, pressures of wind and tyres Pa, angles rad; ratios and grades
// are plain. Money is in the shop's currency; a rate of 0 was not given.
//
// # One table holds the trade's numbers
//
// [Rules] names, bounds and explains each of them with its source, or says
// "common practice, no published source". The screen of shop rules, the checks of
// minima and the documents are made from it, and no number of the trade stands
// anywhere else, so that a shop can find and change whatever it does otherwise. A
// key is never changed, for documents hold it. It would change if a rule had to be
// more than one number.
package practice
