// Package spoken reads a number that was spoken, in the words that a browser heard, and
// gives what one would have typed for it: "3450", "2.5 m", "-12", "1:40".
//
// A wrong number is worse than none. What is no number, or can be read in two ways, is
// refused: "two metres five" (2.05 or 2.5), "four fifty", "thirty-four fifty". A word that
// is not known refuses the whole; none is passed over and none is guessed at ("to", "for").
//
// After a decimal sign stand digits one by one or a number below a hundred; after whole
// metres without a unit two digits are centimetres and three are millimetres. Digits that
// were written by what heard them are read by the signs of the language. No unit is added
// and nothing is converted: what is given is read by package units as if it was typed.
package spoken
