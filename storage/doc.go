// Package storage keeps sites: the document of one site and of the shop, their
// canonical bytes, the edits that change them, revisions and merging, and the
// store that holds them all. It knows no clock and does no input or output of
// its own; folders below wrap IndexedDB and the yard's SQL.
//
// # What cannot be read is a draft beside the value
//
// The value's old reading no longer holds, so the engine is asked without it and
// the drawing shows the assumed one. Nothing typed is lost by a closed browser.
// It would change if drafts had to merge between phones in the middle of a word.
//
// # One edit for each key, joined for undo
//
// Each key is a stored edit with strict durability; edits of one run of typing
// are undone in one step. A drawing does not wait for the edit: [WithValue] gives
// the document as the edit will leave it without making the edit, 300 times as
// fast, and a property test holds both to the same bytes.
//
// # Files are neutral
//
// Tables, the survey and the back-up are English with a decimal point whatever
// the screen speaks: they go from one program to another, and a file from one
// phone reads the same on every other. Drawings, sheets and screens speak the
// user's language.
package storage
