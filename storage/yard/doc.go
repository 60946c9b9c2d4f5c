// Package yard keeps what the crews sent: sites with all their revisions,
// photos, the devices that may come in. It is SQL and nothing else: SQLite in
// a folder, or PostgreSQL for several servers, with the same answers.
//
// It knows no HTTP. A step of the database's layout is added to migrations and
// never changed; tables lists its columns for back-ups. What changes something is
// noted in the audit log.
//
// # A correction is one revision on what it was begun on
//
// Not on what is newest by then: the yard merges by field, and what truly
// conflicts is put to a person. Sending each key would make a history that nobody
// reads.
//
// # A mark is changed under a condition
//
// If-None-Match: *, or If-Match with the mark's tag, so that of two offices the
// second is told.
package yard
