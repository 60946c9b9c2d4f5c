package yard

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"github.com/jackc/pgx/v5/pgconn"
	"gocloud.dev/blob"
	"modernc.org/sqlite"

	"pegpour/engine/refusal"
	"pegpour/storage/yard/disk"
)

// What a yard can answer beside the typed errors.
var (
	ErrNotFound = errors.New("nothing is kept under this name")
	// ErrNowhere: no yard is where one was to be opened.
	ErrNowhere = errors.New("there is no yard")
	// ErrNewer: the database was written by a newer program.
	ErrNewer = errors.New("the database was written by a newer version of this program")
)

// InvalidError says why something cannot be kept.
type InvalidError struct{ Reason refusal.Message }

// Error gives the reason.
func (e *InvalidError) Error() string { return e.Reason.String() }

// Refusal is the reason with its values.
func (e *InvalidError) Refusal() refusal.Message { return e.Reason }

func invalid(format string, args ...refusal.Arg) *InvalidError {
	return &InvalidError{refusal.Say(format, args...)}
}

// Yard is an open database. All calls may be made from several goroutines; all
// return the context's error or the database's beside those they name.
type Yard struct {
	dialect
	writing, reading *sql.DB
	objects          *objects // nil: photos stay in the database
	group            group
	backingUp        chan struct{} // holds the one that is being made
	now              func() time.Time
	keyLife          time.Duration
	faults           func(point string) error
	quota            quota
	observe          func(kind string, took time.Duration, err error)
	arrived          func(entered time.Time)
	file             string // of an SQLite database
	room             func(folder string) int64
	leastRoom        int64
	lock             *disk.Lock
}

// Options of a yard; the zero Options is for use.
type Options struct {
	// Now is the yard's clock; nil is the machine's.
	Now func() time.Time
	// Fault is called at the points "begin", "commit" and "committed" of every
	// change; an error stops it there, for tests. While the layout is brought up it is
	// called at "step" too, and at "copied" and "kept" of what is copied before.
	Fault func(point string) error
	// NotDurable gives up the promise that what was answered is on disk, for
	// tests that do not pull the plug.
	NotDurable bool
	// MaxPages limits the size of an SQLite database, to 4096 bytes each, for
	// tests of a full disk; 0 does not.
	MaxPages int
	// Room says how many bytes are free on the disk of a folder, -1 for not known, for
	// tests; nil asks the machine.
	Room func(folder string) int64
	// LeastRoom is with how many bytes free on the disk no more photos are taken, and at a
	// quarter of it no more documents: *QuotaError; 0 takes them until it is full.
	LeastRoom int64
	// KeyLife is how long a device may be unseen before its key ends; 0 is KeyLife.
	KeyLife time.Duration

	// Alone holds the folder until Close, so that no second server may: ErrInUse. In
	// PostgreSQL any number of servers may work.
	Alone bool
	// Existing refuses to make a yard where there is none: ErrNowhere.
	Existing bool
	// Observe, if not nil, hears how long each transaction took, of the kinds "read" and
	// "write", and what it came to.
	Observe func(kind string, took time.Duration, err error)

	// Arrived, if not nil, hears of each new revision when it was entered, by the clock
	// of the device that sent it.
	Arrived func(entered time.Time)

	// Photos is the address of the store of photos: s3://bucket?region=… or
	// file:///folder. "" is the folder PhotosFolder beside the database, or PostgreSQL
	// itself.
	Photos string
	// Bucket opens the store instead, for tests.
	Bucket func() *blob.Bucket
	// StoreFault is called before and after every call of the store, with "write", "read"
	// or "remove" and with "written" or "removed"; an error is taken for the store's, for
	// tests.
	StoreFault func(point string) error
	// Patience is how long the store may take for one photo; 0 is a minute.
	Patience time.Duration

	copied bool // the database is a copy already: none is made before it is changed
}

// FileName is the name of the database in its folder.
const FileName = "yard.sqlite"

// Open opens a yard: a folder, made if it is not there, or the address of a
// PostgreSQL database, which starts with postgres:// or postgresql://.
// Before the database of an older layout is changed it is copied: see Upgrade. Errors:
// ErrNewer, ErrNoYard, ErrNoRoom, ErrInUse, ErrNowhere; see IsDown too.
func Open(ctx context.Context, where string, o Options) (*Yard, error) {
	if o.Existing {
		u, err := CheckUpgrade(ctx, where, o)
		if err == nil && u.From == 0 {
			err = fmt.Errorf("%w in %s", ErrNowhere, Plainly(where))
		}
		if err != nil {
			return nil, err
		}
	}
	store, err := objectsOf(where, o)
	if err != nil {
		return nil, err
	}
	var y *Yard
	if IsPostgres(where) {
		y, err = openPostgres(ctx, where, o)
	} else if err = os.MkdirAll(where, 0o700); err == nil {
		y, err = openFile(ctx, filepath.Join(where, FileName), o)
	}
	if err != nil {
		return nil, err
	}
	y.objects = store
	return y, nil
}

// IsPostgres reports whether where is an address of PostgreSQL.
func IsPostgres(where string) bool {
	return strings.HasPrefix(where, "postgres://") || strings.HasPrefix(where, "postgresql://")
}

// Plainly is a place of a yard as it may be shown: without the password.
func Plainly(where string) string {
	if !IsPostgres(where) {
		return where
	}
	u, err := url.Parse(where)
	if err != nil {
		return "PostgreSQL"
	}
	return u.Redacted()
}

func newYard(o Options) *Yard {
	y := &Yard{now: o.Now, faults: o.Fault, observe: o.Observe, arrived: o.Arrived, room: o.Room, leastRoom: o.LeastRoom,
		keyLife: cmp.Or(o.KeyLife, KeyLife), backingUp: make(chan struct{}, 1)}
	if y.room == nil {
		y.room = disk.Free
	}
	if y.now == nil {
		y.now = time.Now
	}
	return y
}

func openFile(ctx context.Context, file string, o Options) (*Yard, error) {
	u, err := checkFileUpgrade(ctx, file, o)
	if err != nil {
		return nil, err
	}
	y := newYard(o)
	y.file = file
	if change := u.Due() && !o.copied; o.Alone || change { // nobody else may work while the layout changes
		if y.lock, err = disk.Hold(filepath.Dir(file)); err != nil {
			return nil, err
		}
		if u, err = checkFileUpgrade(ctx, file, o); err == nil && u.Due() && !o.copied {
			err = y.keepBefore(ctx, file, u)
		}
	}
	if err == nil {
		err = onlyOurs(file)
	}
	if err == nil {
		err = y.openParts(ctx, file, o)
	}
	if err == nil && !o.Alone {
		err = y.lock.Release()
	}
	if err != nil {
		return nil, errors.Join(err, y.Close())
	}
	return y, nil
}

// onlyOurs makes the file, if it is not there, so that nobody else may read it: SQLite
// gives what it writes beside it the same permissions.
func onlyOurs(file string) error {
	f, err := os.OpenFile(file, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	for _, name := range []string{file, file + "-wal", file + "-shm"} {
		if err := os.Chmod(name, 0o600); err != nil && !errors.Is(err, os.ErrNotExist) {
			return err
		}
	}
	return nil
}

func (y *Yard) openParts(ctx context.Context, file string, o Options) error {
	var err error
	pragmas := url.Values{"_pragma": {"busy_timeout(15000)", "journal_mode(WAL)", "synchronous(FULL)",
		"secure_delete(1)"}} // what is purged is written over
	if o.NotDurable {
		pragmas["_pragma"][2] = "synchronous(OFF)"
	}
	writing := url.Values{"_txlock": {"immediate"}, "_pragma": pragmas["_pragma"]}
	if y.writing, err = openSQLite(inURI(file) + "?" + writing.Encode()); err != nil {
		return err
	}
	y.writing.SetMaxOpenConns(1) // SQLite has one writer; waiting here is cheaper than there
	if y.reading, err = openSQLite(inURI(file) + "?" + pragmas.Encode()); err != nil {
		return err
	}
	y.reading.SetMaxOpenConns(8)
	y.reading.SetMaxIdleConns(8) // each keeps its statements
	if err := y.migrate(ctx); err != nil {
		return err
	}
	return y.limitPages(ctx, o.MaxPages)
}

func openSQLite(address string) (*sql.DB, error) {
	c, err := sqlite.NewConnector(address)
	if err != nil {
		return nil, err
	}
	return sql.OpenDB(prepared{c}), nil
}

// inURI is how SQLite is told of a file, whatever is in its name.
func inURI(file string) string { return "file:" + (&url.URL{Path: filepath.Clean(file)}).EscapedPath() }

// limitPages holds for the one writing connection.
func (y *Yard) limitPages(ctx context.Context, pages int) error {
	if pages == 0 || y.postgres {
		return nil
	}
	s := session{dialect: y.dialect, ctx: ctx, on: y.writing}
	var set int
	return s.row("PRAGMA max_page_count = "+itoa(pages), nil, &set)
}

func openPostgres(ctx context.Context, address string, o Options) (*Yard, error) {
	y := newYard(o)
	y.postgres = true
	db, err := dialPostgres(address)
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(16)
	db.SetMaxIdleConns(16) // to connect anew takes longer than most of what is asked
	y.writing, y.reading = db, db
	if err := y.migrate(ctx); err != nil {
		return nil, errors.Join(err, y.Close())
	}
	return y, nil
}

// Close closes the database.
func (y *Yard) Close() error {
	err := y.objects.close()
	if y.writing != nil {
		err = errors.Join(y.writing.Close(), err)
	}
	if y.reading != nil && y.reading != y.writing {
		err = errors.Join(y.reading.Close(), err)
	}
	return errors.Join(err, y.lock.Release())
}

func (y *Yard) fault(point string) error {
	if y.faults == nil {
		return nil
	}
	return y.faults(point)
}

// timeForm has fixed width, so that times order as text does.
const timeForm = "2006-01-02T15:04:05.000Z"

func (y *Yard) time() string { return y.now().UTC().Format(timeForm) }

// turn counts the changes of the yard. It is taken last in a transaction and
// held to its end, so that turns become visible in their order: who has seen
// turn n has seen all before it.
func (s session) turn() (int64, error) {
	var n int64
	err := s.row("UPDATE counters SET value = value + 1 WHERE name = 'turn' RETURNING value", nil, &n)
	return n, err
}

// IsFull reports an error that says there is no room left for the database.
func IsFull(err error) bool {
	var s *sqlite.Error
	var p *pgconn.PgError
	const sqliteFull = 13
	return errors.As(err, &s) && s.Code()&0xff == sqliteFull || errors.As(err, &p) && p.Code == "53100" ||
		errors.Is(err, syscall.ENOSPC)
}
