// Package yard keeps what the crews sent: sites with all their revisions,
// photos, the devices that may come in. It is SQL and nothing else: SQLite in
// a folder, or PostgreSQL for several servers, with the same answers.
//
// It knows no HTTP. A step of the database's layout is added to migrations and
// never changed; tables lists its columns for back-ups. What changes something is
// noted in the audit log.
//
// # Photos are objects, named by what they hold
//
// Each is a file beside the database, or an object in S3, under the SHA-256 of its bytes;
// in PostgreSQL without a store they stay in the database. A photo counts as stored when
// it was written and read again. On reading, each block of 128 KiB is held against its
// hash before a byte of it is given; what is damaged counts as not here, and the list of
// changes tells phones that have it to send it again. So does a revision that is not what
// its name says.
//
// A photo in the store has complete = 0 in its row, so that a server of before takes it
// for one that was never sent, and takes it anew, instead of handing out nothing for it:
// two versions can serve at once, and moving may begin at any time. Servers begin ten
// minutes after their start, when one of before beside them is gone. A photo that is let
// go keeps its row, with stored = -1, until its object is removed; what has no row is
// found by SweepStore. A store belongs to one yard, which its object "yard" names:
// another place would seem to lack every photo.
//
// # Uploads come in groups
//
// What comes while one transaction is written is written in the next, all at once: to
// sync takes longer than all else. A group holds revisions that follow on all that their
// sites have; the others have a transaction each.
//
// # A correction is one revision on what it was begun on
//
// Not on what is newest by then: the yard merges by field, and what truly
// conflicts is put to a person. Sending each key would make a history that nobody
// reads.
//
// # The database keeps its own index of what is searched
//
// Triggers keep the index of texts, and how far each site is, so that a server of before
// that still writes beside a newer one keeps them too, and nothing has to look for what it
// left out. SQLite finds three letters in a row by its full-text index, PostgreSQL by a GIN
// index of them: it has an extension for that, which not every owner of a database may add.
// Words of one or two letters are looked for in the list, the newest site first.
//
// # How far a site is is told by who takes it in, and else afterwards
//
// It takes the document and today's program, so no trigger can tell it, nor a step of the
// layout. The row says for which turn its step was told; one that a server of before
// wrote, or that was there before the seventh layout, has another turn, and counts as not
// known until a server has told it, a hundred at a time. A list by step says how many are
// not known, instead of leaving them out unsaid.
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
//
// # What nobody sees is bounded and ends
//
// Revisions that wait for what they came from, photos that are begun and not whole, and
// counts of refusals are not in any list, so nobody would tidy them up. Each is bounded by
// device or by hour and let go by the sweep. The device that sent a waiting revision is
// told that something is missing, and sends it as a beginning: nothing is lost by letting
// it go.
//
// # How much is kept is counted once a day
//
// Counting with each upload would cost it a write on a row that all uploads want. A server
// counts all once a day and adds what it takes itself. So limits are met a little late
// where several servers take in a lot; they are for accidents, not for bills.
//
// # Names at the door
//
// Names of devices and the columns by which sites are listed and searched lose what turns
// the order of other text round or cannot be seen; the document keeps its bytes. Two
// devices that may come in do not have one name: the second gets a number.
package yard
