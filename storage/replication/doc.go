// Package replication sends what is on the phone to the yard and brings the yard's
// corrections back. It keeps nothing in memory that a restart would miss: what
// is not yet in the yard follows from the store alone.
//
// # One tab speaks to the yard
//
// It holds a Web Lock as long as it lives; the next tab gets it by itself. Other
// tabs hear of progress over a channel and read what is not sent from the store.
//
// # What fails waits by itself
//
// A site or photo that the yard does not take now is set aside with a wait of its
// own and holds nobody up; when all fails the waits of the whole grow all the
// same. It is kept in memory: a restart tries at once.
//
// # Of which yard it is known
//
// A yard says who it is and of which generation; a restore begins a new one. Where
// either is not what was seen last, and at a pairing that cannot show that both are
// the same, sites are in doubt until the yard was asked, photos count as not sent,
// and the list of changes is read from its beginning. A yard that says nothing is
// known only by its list having become shorter.
//
// # A settled conflict sends first what was never sent
//
// The state here is written down to be sent in the same transaction as the
// merger, so that a choice for the yard's side leaves it in the history.
//
// # A deletion is told, and told again to a yard that was restored
//
// What was deleted is remembered by its identity alone. The yard hears of it when there
// is signal; other devices read it in the list of changes and delete what they hold,
// unless they hold what the yard never had: that waits for a person. A yard that was
// put back to before a deletion hears of it from every device that does. If an office
// took the deletion back between and a device slept through that, the site goes again,
// and the office can bring it back again.
package replication
