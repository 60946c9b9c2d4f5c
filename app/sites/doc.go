// Package sites is the list of the sites on this device: what is found, put away and
// brought back, the small plans, and sites that come from a file.
//
// Decision: the list of sites is there before the program. The loader keeps the
// list's own markup whenever it has settled and shows it at the next start of the
// same version; the small plans carry the revisions that they were drawn from, of the
// site and of the shop's rules, and are taken over, so that none is drawn twice. What
// stands there may be a moment older than the store. It would change if the program
// started as fast as a page.
package sites
