// Package building holds the screens of the job after the set-out: pegs as set, forms
// and pour, what stands there, hand-over. They are a program of their own, so that the
// one that measures starts no later for them.
package building
