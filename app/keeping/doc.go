// Package keeping is what keeps measured things safe: sending them to the yard and
// fetching from it, choosing between two versions, back-up and restore.
//
// Decision: a choice between two versions is behind the edits that still wait to be
// kept, and what is chosen is written down to be sent in the same step, so that a
// choice for the yard's side leaves this device's in the history.
package keeping
