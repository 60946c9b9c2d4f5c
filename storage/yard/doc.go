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
//
// # A deleted site is shut away, then purged; its record stays
//
// Deleting takes a site out of every list, search, answer and export at once, and what
// comes of it later is refused. For as many days as the rule keep-deleted-days gives (30
// until somebody sets it) an office can bring it back. Then a sweep, at the start of
// the server, every hour and by command, takes out its revisions, heads, marks, waiting
// ones and the photos that no other site shows; SQLite writes zeros over them. What
// stays for good is the record: identity of the site, when, and which device, or none
// for the command line. Without it a phone that slept would bring the site back. Photos
// that no newest version shows any more go after as many days.
//
// A back-up that was made before holds the site still. A yard that is restored from it
// deletes it again when a phone that heard of the deletion reports it; until one does,
// the site is there. A back-up made after holds the record, and what is not purged yet.
//
// # A person is taken out by beginning a new history
//
// A revision is named by the SHA-256 of its bytes and of what it came from. A line can
// be taken out of none of them, and a phone that holds one that was taken out would
// send the name again. So the old site is deleted and purged at once, and what is left
// of its newest version becomes a site of its own: see ErasePerson.
package yard
