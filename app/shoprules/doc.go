// Package shoprules holds the screens of how the shop builds and what it asks for: the
// rules of thumb, with what one of them would change at the site in hand, and on a page
// of their own the rates and words of a quote. It belongs to the program of building,
// for it prices what a rule changes.
package shoprules
