// Package stages holds the passes of a design and what they hand on: inputs, where
// everything stands, leaf, footing, depths, quantities, strength. Each is a function
// that takes what it needs and returns a value that nobody writes to again; the
// story of their order is [pegpour/engine.Begin] and its Finish. Figures and checks
// read what was made and stand above, in engine.
//
// # A base-plated guide post stands flush with the front of its plate
//
// A plate centred under the post would reach under the leaf and the track at the
// usual setback. It would change if a plate came with its holes on one side alone.
//
// # The near side of the post hole follows the driveway's edge
//
// The hole is its own size long clear of the edge at every offset, as the pad is, so
// that an angled drive never makes the footing of the post smaller than a square one
// does. It would change if the drive's slab were tied to the footing.
//
// # The guide post's hole is the greater of the trade's depth and what the wind asks
//
// A drawing that shows 500 beside a check that asks for 2000 gets 500 dug. A shop may
// keep its own depth by a rule, and the check then says so. It would change if the
// trade's depth were shown to hold in a published test.
//
// # A leaf that hangs free counts its heights from its block
//
// The practice of such a design has the beam in the bottom rail's place and what the
// carriages need in place of the track's, so that rack, rollers, wind and stops are
// worked out as over a track. The leaf hangs level over the highest place of the drive,
// and its nose is judged by the beam alone: what frame and infill stiffen is left out, on
// the safe side. It would change if it were asked whether the frame is braced.
package stages
