// Package advice designs a site again and again to say what is worth doing: which
// question still matters, how well figures and checks are known and which reading
// to take again, which remedies clear a check and what they cost, and which other
// options of building there are. It knows a design by its front door alone.
//
// # Advice is found by trying
//
// Each remedy is designed with before it is shown, and is dropped where its check
// does not come out in order; each uncertainty is a difference of two designs.
// A second set of formulas would be quicker, and would disagree with the first one
// day. A design takes less than a tenth of a millisecond on flat ground, so that a
// sweep ends before a finger is up. It would change if a design became ten times as
// slow.
package advice
