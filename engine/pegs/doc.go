// Package pegs is the set-out on the ground: what a peg marks, where the pegs stand
// by the tapes taken between them, and how those that are off are moved. Lengths mm.
//
// # The posts hold the frame
//
// The two posts stand at the design's coordinates, with the opening that was measured.
// The plan's places are where the adjustment begins, so that tapes which would do on
// either side of the fence put a peg on the side where it was driven. Where no such
// place fits the tapes, each peg that they doubt is tried on the other side of the
// fence, and in the place of each other one. It would change if pegs were set from
// other marks than the posts.
//
// # A tape before a peg
//
// A tape whose standardised residual is the greatest and beyond 3 is named, and the
// pegs are judged by the others: by as many as remain sound. A peg is said to be off
// only where no single tape to it could be what is wrong instead: where it stays off
// with each of them left out in turn. With too few tapes that cannot be, and the tape
// that would tell most is proposed. The reason: a peg that was right and is moved costs
// more than a tape.
//
// # What within means
//
// The peg's place by the tapes is nearer to the plan's than the tolerance of its part,
// and its 95 % range is no wider than that tolerance: simple acceptance after JCGM
// 106:2012, 8.2 (memory). Off: farther than the tolerance, and farther than the 95 %
// range in that direction. Anything else cannot be told yet.
//
// # The string is a peg far off
//
// A tape square to the string along the back of the posts is taken as one to a point
// 900 m behind it: 100 mm along the string make it wrong by 0.006 mm.
//
// # A plan that changes
//
// The place where the plan had a peg is kept with its first tape. The peg stays where
// it was taped, and it is judged by the plan of now; what moved meanwhile is said. A peg
// is known by what it marks, the part and which of its corners, so that new numbers do
// not make it another one.
package pegs
