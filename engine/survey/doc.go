// Package survey is what was measured and chosen on one site, with the table of
// its fields: what each is called, what is allowed, what is assumed while it is
// not measured, how well it is known and how it is taken. It knows the shop's
// rules, for what is assumed follows from them, and nothing of what is built.
//
// Lengths mm, angles rad, slopes rise over run; levels mm above the datum of the
// site. Every value keeps the text as it was typed.
//
// # Fields are named by handles
//
// A [Path] or [ListPath] is declared beside the field's row in the table, and
// [FieldOf] panics on one that is not: a slip of the pen fails the first test,
// where a lookup by text would give 0 and pass for a measurement. Paths out of
// documents go through [FieldAt], which finds nothing instead. The texts of
// handles are what documents hold and are never changed.
//
// # What is not measured is assumed, and said
//
// A [Reader] hands on a number for every field that anything can stand in for, and
// lists it, so that a drawing is there from the first key and never silent about
// what it rests on. It would change if a field were too dangerous to assume; such
// a one has nothing to stand in for it already.
package survey
