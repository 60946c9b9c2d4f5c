// Package tables makes rows of a plan, for files and sheets: quantities, levels,
// the cut list of steel, and the checklist of a pour. It knows the plan and the
// rules, and computes nothing but the writing of numbers.
//
// Cells are English with a decimal point and the units of the headings, whatever
// the screen speaks, for a table goes from one program to another. The checklist is
// for people and is made of texts.
package tables
