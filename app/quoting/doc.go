// Package quoting holds the quote's screen: what the gate costs, what that rests on,
// what was agreed and what changed since. It belongs to the program of building and
// stands in a room of its own, so that the phone's program does not import the engine's
// quote.
package quoting
