// Package network makes coordinates of distances taped between pegs, and of them
// the figures of a survey: the opening, the driveway's edges, what stands in the
// run-back. The least squares are those of the room tape; this room knows which
// peg is what on the site. Lengths mm, temperatures °C, forces N.
//
// # What was measured by itself goes before the network
//
// A figure of the survey that has a value keeps it, and the network's stands beside
// it as a check when both do not agree: the person measured it on purpose, and a
// network with a wrong tape would move what was right. A figure without a value
// takes the network's with its uncertainty. It would change if networks came from
// an instrument and not from tapes.
package network
