package yard

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"io"
	"net"
	"path/filepath"
	"pegpour/storage/yard/disk"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/stdlib"
	"modernc.org/sqlite"
)

// connectTimeout is how long a connection to PostgreSQL may take to stand, unless the
// address says otherwise: who asks would wait as long.
const connectTimeout = 5 * time.Second

func dialPostgres(address string) (*sql.DB, error) {
	c, err := pgx.ParseConfig(address)
	if err != nil {
		return nil, err
	}
	if c.ConnectTimeout == 0 {
		c.ConnectTimeout = connectTimeout
	}
	return stdlib.OpenDB(*c), nil
}

// IsDown reports an error that says the database cannot be used at the moment and may
// be later. What was asked may have been done.
func IsDown(err error) bool {
	var p *pgconn.PgError
	if errors.As(err, &p) { // 08 connection, 53300 too many, 57P shutting down or starting, 25006 a standby
		return strings.HasPrefix(p.Code, "08") || p.Code == "53300" || p.Code == "25006" ||
			p.Code == "57P01" || p.Code == "57P02" || p.Code == "57P03"
	}
	var s *sqlite.Error
	if errors.As(err, &s) {
		switch s.Code() & 0xff {
		case 5, 6, 8, 10, 14: // busy, locked, read-only, input or output failed, cannot be opened
			return true
		}
		return false
	}
	var connect *pgconn.ConnectError
	var network net.Error
	return errors.As(err, &connect) || errors.As(err, &network) || errors.Is(err, driver.ErrBadConn) ||
		errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, net.ErrClosed) ||
		pgconn.SafeToRetry(err)
}

// Ping asks the database for the least there is.
func (y *Yard) Ping(ctx context.Context) error {
	var version int
	return session{y.dialect, ctx, y.reading}.row("SELECT COALESCE(MAX(version), 0) FROM layout", nil, &version)
}

// Room is how many bytes are free where the database grows; -1 where that cannot be
// told, as with PostgreSQL.
func (y *Yard) Room() int64 {
	if y.postgres {
		return -1
	}
	return y.room(filepath.Dir(y.file))
}

// RoomOn is how many bytes are free on the disk of a folder; -1 where that cannot be told.
func RoomOn(folder string) int64 { return disk.Free(folder) }

// observed tells who wants to know how long something took.
func (y *Yard) observed(kind string, since time.Time, err *error) {
	if y.observe != nil {
		y.observe(kind, time.Since(since), *err)
	}
}

// ErrInUse: another server holds the folder.
var ErrInUse = disk.ErrInUse

// ClearWork removes what killed programs left of back-ups they were making.
func ClearWork() { disk.ClearWork() }
