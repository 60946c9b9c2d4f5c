package storage

import (
	"context"
	"encoding/json"
	"errors"
	"io"

	"pegpour/engine/refusal"
)

// Store keeps sites, the shop and photos on one device. NewMemory gives one
// for tests, storage/browser the one in IndexedDB. All calls may be made from
// several goroutines; none may be made from inside a JavaScript callback,
// which would wait for itself.
//
// Every call may return an *UnavailableError, ErrClosed, ErrFull or the
// context's error. A call that returned an error changed nothing, unless it
// was the context that ended: then it may have been done.
type Store interface {
	// Sites lists every site, damaged and trashed ones too, latest change first.
	Sites(ctx context.Context) ([]Summary, error)
	// Load reads a site. Errors: ErrNotFound, *DamagedError, *NewerError.
	Load(ctx context.Context, id string) (Loaded, error)
	// Create keeps a new site as the first revision of its history. Errors:
	// ErrExists, *DecodeError, *TooLargeError.
	Create(ctx context.Context, d *Document) (Loaded, error)
	// Commit makes an edit on the freshest state of the site, by path, stamps
	// it with the time and keeps the document, the undo entry and the summary
	// in one transaction. It returns when all that is on disk. base is the
	// revision on which the person made the edit; see Loaded.Moved. Errors:
	// ErrNotFound, *DamagedError, *NewerError, *GoneError, *PathError,
	// *DecodeError, *TooLargeError.
	Commit(ctx context.Context, id string, e Edit, base Revision) (Loaded, error)
	// Undo takes back the last edit, Redo makes it again; both work across
	// restarts. Errors: ErrNothing when there is none, and those of Commit.
	Undo(ctx context.Context, id string) (Loaded, error)
	Redo(ctx context.Context, id string) (Loaded, error)
	// History lists what was done to a site, oldest first.
	History(ctx context.Context, id string) ([]Step, error)
	// Past lists the states that a site was in here, the newest first; the first is
	// how it stands. Of a run of edits only what it ended in is a state.
	Past(ctx context.Context, id string) ([]PastState, error)
	// PastDocument is the site as the step with this number left it, made from what is
	// kept and held against the step's revision. Errors: ErrNotFound where the edits
	// are not here any more, *DamagedError, *NewerError.
	PastDocument(ctx context.Context, id string, number int) (*Document, error)
	// PastShop is the shop as it stood at a time (RFC 3339). known is false where that
	// cannot be told: it is then the shop of now.
	PastShop(ctx context.Context, at string) (shop *Shop, known bool, err error)

	// Trash puts a site aside, Restore takes it back. DeleteForever removes it
	// with its history and what sync keeps of it; photos that no other site names
	// go too.
	Trash(ctx context.Context, id string) error
	Restore(ctx context.Context, id string) error
	DeleteForever(ctx context.Context, id string) error
	// DeleteUnchanged is DeleteForever for a site that is in the state given and of
	// which nothing was sent; else ErrMoved.
	DeleteUnchanged(ctx context.Context, id string, at Revision) error

	// Raw returns a site's bytes as they are kept, to rescue a damaged one.
	Raw(ctx context.Context, id string) ([]byte, error)

	// Shop reads the shop's document; a new device has the default one.
	Shop(ctx context.Context) (LoadedShop, error)
	// CommitShop is Commit for the shop. Undo(ctx, ShopID) takes it back; read
	// Shop again after that.
	CommitShop(ctx context.Context, e Edit) (LoadedShop, error)

	// PutPhoto keeps a photo's bytes and returns their identity, the SHA-256.
	// Putting the same bytes again changes nothing.
	PutPhoto(ctx context.Context, mediaType string, bytes []byte) (string, error)
	// Photo reads one back, checked against its identity. Errors: ErrNotFound,
	// *DamagedError.
	Photo(ctx context.Context, id string) (mediaType string, bytes []byte, err error)
	DeletePhoto(ctx context.Context, id string) error
	// PhotoSizes gives the bytes of each photo that is here.
	PhotoSizes(ctx context.Context) (map[string]int64, error)

	// BackUp writes everything to one file; see backup.go for its form.
	BackUp(ctx context.Context, w io.Writer) error
	// BackUpSite writes such a file of one site with its history, and of the photos
	// that it names where they are here, if withPhotos. Equal states of a site give
	// equal bytes. Errors: those of Load.
	BackUpSite(ctx context.Context, w io.Writer, id string, withPhotos bool) error
	// RestoreBackUp reads such a file; how says what is done with it.
	// Errors: *BackUpError for a file that is none or was cut short; what stood
	// before the fault was restored, and doing it again is safe.
	RestoreBackUp(ctx context.Context, r io.Reader, how Restoring) (RestoreReport, error)
	// ReceiveBackUp does the same with what another device hands over, but joins a site
	// that went on here and there, by Merge, where the two did not change the same.
	ReceiveBackUp(ctx context.Context, r io.Reader, how Restoring) (RestoreReport, error)

	// Persist asks that the device may not throw the data away by itself.
	Persist(ctx context.Context) (bool, error)
	// Estimate says how much room is used and left.
	Estimate(ctx context.Context) (Estimate, error)
	// Watch calls changed with the identity of each site (or ShopID) that
	// changed, in this tab or another, until stop is called. The call comes on
	// a goroutine of its own.
	Watch(changed func(id string)) (stop func())
	Close() error

	Exchange
}

// Summary is a line of the list of sites.
type Summary struct {
	ID        string    `json:"id"`
	Name      string    `json:"name,omitempty"`
	Address   string    `json:"address,omitempty"`
	Client    string    `json:"client,omitempty"`
	Created   string    `json:"created,omitempty"`
	Changed   string    `json:"changed,omitempty"`
	Demo      bool      `json:"demo,omitempty"`
	Trashed   bool      `json:"trashed,omitempty"`
	Photos    int       `json:"photos,omitempty"`
	Revision  Revision  `json:"revision,omitempty"`
	Condition Condition `json:"condition,omitempty"`
}

// Condition says whether a site can be opened.
type Condition string

// The conditions of a site.
const (
	Sound     Condition = ""
	IsDamaged Condition = "damaged" // its bytes can be exported with Raw
	IsNewer   Condition = "newer"   // update the program to open it
)

// Loaded is a site as it stands in the store.
type Loaded struct {
	Document *Document
	Revision Revision
	// UndoLabel and RedoLabel say what Undo and Redo would do.
	CanUndo, CanRedo     bool
	UndoLabel, RedoLabel string
	// Moved reports after a Commit that the site had changed since base, in
	// another tab. Overwrote lists the paths where the edit replaced such a
	// change; it can be undone.
	Moved     bool
	Overwrote []Change
}

// LoadedShop is the shop as it stands in the store.
type LoadedShop struct {
	Shop                 *Shop
	Revision             Revision
	CanUndo, CanRedo     bool
	UndoLabel, RedoLabel string
}

// Step is one line of a site's history.
type Step struct {
	Number   int        `json:"number"` // from 1
	Action   Action     `json:"action"`
	Label    string     `json:"label,omitempty"`
	At       string     `json:"at,omitempty"` // RFC 3339
	Revision Revision   `json:"revision"`
	Parents  []Revision `json:"parents,omitempty"`
	// Edits is how many edits were taken back or made again; 0 where an older program
	// did not say.
	Edits int `json:"edits,omitempty"`
	// Left are edits that were taken back and could have been made again until this
	// step; they lead to states that the site was in.
	Left []Edit `json:"left,omitempty"`
	// Was is the document before this step, as it was kept, where an older program
	// had written it.
	Was json.RawMessage `json:"was,omitempty"`
}

// Action is what a step of history was.
type Action string

// The actions.
const (
	Created  Action = "created"
	Edited   Action = "edited"
	Undone   Action = "undone"
	Redone   Action = "redone"
	Restored Action = "restored" // from a back-up
	Merged   Action = "merged"   // from another device
)

// Estimate is the room on the device, in bytes; 0 where it is not known.
type Estimate struct {
	Used, Quota int64
	// Persistent reports that the device promised not to throw data away.
	Persistent bool
}

// What a store can answer beside the typed errors below.
var (
	ErrNotFound = error(refusal.Error("no such record on this device"))
	ErrExists   = error(refusal.Error("a record with this identity is here already"))
	ErrNothing  = error(refusal.Error("nothing to undo or redo"))
	// ErrFull: the device has no room left. Nothing was lost that is on screen.
	ErrFull = error(refusal.Error("no room left on this device: the change is not kept yet"))
	// ErrClosed: the store was closed, or a newer version in another tab took it
	// over; load the page again.
	ErrClosed = error(refusal.Error("the store was closed; load the page again"))
)

// Final reports an error that making the same call again does not change: what the
// change is for is gone, the document would be too large, or it cannot be read.
func Final(err error) bool {
	var damaged *DamagedError
	var newer *NewerError
	var gone *GoneError
	var path *PathError
	var bad *DecodeError
	var large *TooLargeError
	var many *TooManyError
	return errors.Is(err, ErrNotFound) || errors.Is(err, ErrExists) || errors.Is(err, ErrOvertaken) || errors.As(err, &damaged) ||
		errors.As(err, &newer) || errors.As(err, &gone) || errors.As(err, &path) || errors.As(err, &bad) ||
		errors.As(err, &large) || errors.As(err, &many)
}

// DamagedError says that a record's bytes cannot be used. They stay where they
// are, and Raw holds them for export.
type DamagedError struct {
	ID    string
	Raw   []byte
	Cause error
}

// Error gives identity and cause.
func (e *DamagedError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *DamagedError) Refusal() refusal.Message {
	return refusal.Say("{0} is damaged: {1}", refusal.Typed(e.ID), refusal.Because(e.Cause))
}

// Unwrap returns the cause.
func (e *DamagedError) Unwrap() error { return e.Cause }

// Unavailable is why a store cannot be opened.
type Unavailable string

// The reasons.
const (
	NoIndexedDB  Unavailable = "this browser keeps no data for pages (private mode, or storage switched off)"
	Blocked      Unavailable = "an older version is open in another tab: close it and try again"
	NewerOnDisk  Unavailable = "the data here was written by a newer version: load the page again to get it"
	StoreFailure Unavailable = "the browser's store failed"
)

// UnavailableError says that the device's store cannot be used at all.
type UnavailableError struct {
	Reason Unavailable
	Cause  error
}

// Error gives the reason and the browser's own words.
func (e *UnavailableError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *UnavailableError) Refusal() refusal.Message {
	if e.Cause == nil {
		return refusal.Say(string(e.Reason))
	}
	return refusal.Say("{0} ({1})", refusal.Name(string(e.Reason)), refusal.Because(e.Cause))
}

// Unwrap returns the browser's own error.
func (e *UnavailableError) Unwrap() error { return e.Cause }

// RestoreReport says what a back-up holds against what is here.
type RestoreReport struct {
	Made   string // when the back-up was made, RFC 3339
	Items  []RestoreItem
	Photos int // in the back-up
	// NewPhotos are those that are not here yet.
	NewPhotos int
	// Unread counts entries of the file that cannot be read; what follows them is.
	Unread int
	// DamagedPhotos are photos of the file whose bytes are not what they were.
	DamagedPhotos int
	// LostPhotosOf names the sites of the file with a photo that is neither in it, whole,
	// nor here.
	LostPhotosOf []string
	// Complete: the file's end was reached and its seal holds.
	Complete bool
}

// Restoring says how a back-up is restored.
type Restoring int

// The ways: only report what would happen; restore, and where the shop here and that
// of the file set the same rule or setting in different ways, keep the one here, or
// take that of the file.
const (
	LookOnly Restoring = iota
	KeepHere
	TakeFile
)

// RestoreItem is one site of a back-up, or the shop.
type RestoreItem struct {
	ID, Name, Changed string
	Outcome           RestoreOutcome
	// Differ counts, for a shop that is joined, what both set in different ways.
	Differ int
	// CopyID is the identity under which a conflicting site was kept beside.
	CopyID string

	photos []string
}

// RestoreOutcome is how a site of a back-up stands to the one here.
type RestoreOutcome string

// The outcomes and what restoring does.
const (
	RestoreNew      RestoreOutcome = "new"      // not here: added
	RestoreSame     RestoreOutcome = "same"     // equal: nothing
	RestoreOlder    RestoreOutcome = "older"    // the one here came after it: nothing
	RestoreNewer    RestoreOutcome = "newer"    // it came after the one here: replaces it
	RestoreConflict RestoreOutcome = "conflict" // both went on: the back-up's is added beside, as a copy
	RestoreJoined   RestoreOutcome = "joined"   // of the shop only: what it sets and the one here does not is added
	RestoreMerged   RestoreOutcome = "merged"   // both went on, each elsewhere in the site: joined by Merge; from a device only
	RestoreDamaged  RestoreOutcome = "damaged"  // cannot be read: kept beside for export if not here
	RestoreTooNew   RestoreOutcome = "too new"  // the same, as a newer program wrote it
)

// BackUpError says why a file is not a back-up that can be used.
type BackUpError struct {
	Line   int
	Reason refusal.Message
	Cause  error
}

// Error gives the line and the reason.
func (e *BackUpError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *BackUpError) Refusal() refusal.Message {
	return refusal.Say("back-up, line {0}: {1}", refusal.Count(e.Line), refusal.Part(e.Reason))
}

// Unwrap returns the cause.
func (e *BackUpError) Unwrap() error { return e.Cause }
