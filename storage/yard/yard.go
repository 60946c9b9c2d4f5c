package yard

import (
	"context"
	"database/sql"
	"errors"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"github.com/jackc/pgx/v5/pgconn"
	_ "github.com/jackc/pgx/v5/stdlib"
	"modernc.org/sqlite"

	"pegpour/engine/refusal"
)

// What a yard can answer beside the typed errors.
var (
	ErrNotFound = errors.New("nothing is kept under this name")
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
	now              func() time.Time
	faults           func(point string) error
}

// Options of a yard; the zero Options is for use.
type Options struct {
	// Now is the yard's clock; nil is the machine's.
	Now func() time.Time
	// Fault is called at the points "begin", "commit" and "committed" of every
	// change; an error stops it there, for tests.
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

	copied bool // the database is a copy already: none is made before it is changed
}

// FileName is the name of the database in its folder.
const FileName = "yard.sqlite"

// Open opens a yard: a folder, made if it is not there, or the address of a
// PostgreSQL database, which starts with postgres:// or postgresql://.
// Before the database of an older layout is changed it is copied: see Upgrade. Errors:
// ErrNewer, ErrNoYard, ErrNoRoom.
func Open(ctx context.Context, where string, o Options) (*Yard, error) {
	if IsPostgres(where) {
		return openPostgres(ctx, where, o)
	}
	if err := os.MkdirAll(where, 0o700); err != nil {
		return nil, err
	}
	return openFile(ctx, filepath.Join(where, FileName), o)
}

// IsPostgres reports whether where is an address of PostgreSQL.
func IsPostgres(where string) bool {
	return strings.HasPrefix(where, "postgres://") || strings.HasPrefix(where, "postgresql://")
}

func newYard(o Options) *Yard {
	y := &Yard{now: o.Now, faults: o.Fault}
	if y.now == nil {
		y.now = time.Now
	}
	return y
}

func openFile(ctx context.Context, file string, o Options) (*Yard, error) {
	u, err := checkFileUpgrade(ctx, file, o)
	if err == nil && u.Due() && !o.copied {
		err = keepBefore(ctx, file, u)
	}
	if err != nil {
		return nil, err
	}
	y := newYard(o)
	pragmas := url.Values{"_pragma": {"busy_timeout(15000)", "journal_mode(WAL)", "synchronous(FULL)",
		"secure_delete(1)"}} // what is purged is written over
	if o.NotDurable {
		pragmas["_pragma"][2] = "synchronous(OFF)"
	}
	writing := url.Values{"_txlock": {"immediate"}, "_pragma": pragmas["_pragma"]}
	path := (&url.URL{Path: file}).EscapedPath()
	if y.writing, err = sql.Open("sqlite", "file:"+path+"?"+writing.Encode()); err != nil {
		return nil, err
	}
	y.writing.SetMaxOpenConns(1) // SQLite has one writer; waiting here is cheaper than there
	if y.reading, err = sql.Open("sqlite", "file:"+path+"?"+pragmas.Encode()); err != nil {
		return nil, errors.Join(err, y.writing.Close())
	}
	y.reading.SetMaxOpenConns(8)
	if err := y.migrate(ctx); err != nil {
		return nil, errors.Join(err, y.Close())
	}
	if err := y.limitPages(ctx, o.MaxPages); err != nil {
		return nil, errors.Join(err, y.Close())
	}
	return y, os.Chmod(file, 0o600)
}

// limitPages holds for the one writing connection.
func (y *Yard) limitPages(ctx context.Context, pages int) error {
	if pages == 0 || y.postgres {
		return nil
	}
	s := session{y.dialect, ctx, y.writing}
	var set int
	return s.row("PRAGMA max_page_count = "+itoa(pages), nil, &set)
}

func openPostgres(ctx context.Context, address string, o Options) (*Yard, error) {
	y := newYard(o)
	y.postgres = true
	db, err := sql.Open("pgx", address)
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(16)
	db.SetMaxIdleConns(8)
	y.writing, y.reading = db, db
	if err := y.migrate(ctx); err != nil {
		return nil, errors.Join(err, y.Close())
	}
	return y, nil
}

// Close closes the database.
func (y *Yard) Close() error {
	err := y.writing.Close()
	if y.reading != nil && y.reading != y.writing {
		err = errors.Join(y.reading.Close(), err)
	}
	return err
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
