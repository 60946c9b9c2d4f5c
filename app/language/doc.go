// Package language is how the screens speak: the words of the language chosen,
// numbers and dates as it writes them, lengths in the units of the shop, and the
// engine's sentences with their values.
//
// Decision: files stay neutral. Tables, the survey and the back-up are English
// with a decimal point whatever the screen speaks, for they go from one program to
// another and have to read the same on every phone. Drawings, sheets and screens
// speak the user's language. It would change if a reader of such a file were a
// person and no program.
package language
