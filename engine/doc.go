// Package engine turns a survey (what was measured on site) and a practice
// (how this shop builds) into a plan (what to build).
//
// The one way in is [Design]. It is pure and deterministic: no input or output,
// no clock, no mutable package state; equal input gives equal bytes on a phone,
// on a server and in a test.
//
// # Frame
//
// Chainage x runs along the fence line. Chainage 0 is the inner face of the
// latch post, the opening ends at chainage W, the inner face of the run-back
// post, and the run-back lies beyond W. Offset y runs into the property from
// the back face of the posts. The hand of the gate never enters a calculation:
// it only mirrors drawings and words.
//
// # Units
//
// Lengths mm, areas mm², volumes mm³, forces N, stresses MPa, moments N·mm,
// masses kg, angles rad. Conversion happens only at the edges, in units.
//
// # A key waits for outlines, not for figures
//
// [Begin] makes what the set-out plan draws, a seventh of the work of a design on
// falling ground; [Sketch.Finish] makes the rest when somebody asks for it. One test
// holds that the drawing asks for no more, another that both parts draw the same at
// every demo site with every field changed. It would change if a whole design took
// less than a frame on a slow phone.
package engine
