package yard

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"

	"pegpour/engine/refusal"
	"pegpour/storage/yard/disk"
)

// ErrBackingUp: a back-up is being made; there is one at a time.
var ErrBackingUp = error(refusal.Error("a back-up is being made: try again when it is done"))

// Keys says whether a back-up holds what lets devices in.
type Keys bool

// What BackUp takes: without keys is for a file that leaves the machine; after restoring
// it every device is paired anew.
const (
	WithKeys    Keys = true
	WithoutKeys Keys = false
)

// BackUp writes the whole yard with its photos as an SQLite database to file, which must
// not exist, while it goes on working: as it stood at one moment. A photo that is damaged
// is left out, and noted to be sent again. One is made at a time; others wait.
func (y *Yard) BackUp(ctx context.Context, file string) error {
	return y.backUpAlone(ctx, file, WithKeys)
}

// BackUpWithoutKeys is BackUp without what lets devices in. That is never in the file, not
// even for a moment.
func (y *Yard) BackUpWithoutKeys(ctx context.Context, file string) error {
	return y.backUpAlone(ctx, file, WithoutKeys)
}

func (y *Yard) backUpAlone(ctx context.Context, file string, keys Keys) error {
	select {
	case y.backingUp <- struct{}{}:
		defer func() { <-y.backingUp }()
	case <-ctx.Done():
		return ctx.Err()
	}
	return y.backUp(ctx, file, keys)
}

// OpenBackUp makes a back-up and returns it to be read. It has no name any more by then,
// so that nothing is left of it when the server is killed. Errors: ErrBackingUp; one that
// IsFull reports where the disk has no room for it, before anything is written.
func (y *Yard) OpenBackUp(ctx context.Context, keys Keys) (*BackUpFile, error) {
	select {
	case y.backingUp <- struct{}{}:
	default:
		return nil, ErrBackingUp
	}
	b := &BackUpFile{free: sync.OnceFunc(func() { <-y.backingUp })}
	err := func() error {
		if err := y.roomForBackUp(ctx, os.TempDir()); err != nil {
			return err
		}
		folder, err := disk.NewWork()
		if err != nil {
			return err
		}
		defer folder.Remove()
		name := filepath.Join(folder.Name, FileName)
		if err := y.backUp(ctx, name, keys); err != nil {
			return err
		}
		b.File, err = os.Open(name)
		return err
	}()
	if err != nil {
		b.free()
		return nil, err
	}
	return b, nil
}

// roomForBackUp refuses a back-up for which a folder has no room.
func (y *Yard) roomForBackUp(ctx context.Context, folder string) error {
	var texts, photos int64
	err := y.view(ctx, func(s session) error {
		if err := s.row("SELECT COALESCE(SUM(LENGTH(text)), 0) FROM revisions", nil, &texts); err != nil {
			return err
		}
		return s.row("SELECT COALESCE(SUM(size), 0) FROM photos WHERE complete = 1 OR stored = 1", nil, &photos)
	})
	if err != nil {
		return err
	}
	need := (texts+photos)/8*9 + 1<<20 // with what a database puts around them
	if free := y.room(folder); free >= 0 && free < need {
		return fmt.Errorf("%s: %d bytes are free, a back-up takes some %d: %w", folder, free, need, syscall.ENOSPC)
	}
	return nil
}

// BackUpFile is a back-up to be read, once. Close it.
type BackUpFile struct {
	*os.File
	free func()
}

// Close lets the next one be made.
func (b *BackUpFile) Close() error {
	defer b.free()
	return b.File.Close()
}

func (y *Yard) backUp(ctx context.Context, file string, keys Keys) error {
	if _, err := os.Stat(file); !errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("%s is there already", file)
	}
	to, err := openFile(ctx, file, Options{NotDurable: true}) // it is synced at the end
	if err != nil {
		return err
	}
	if y.postgres {
		err = copyRows(ctx, y, to, keys, nil, nil)
	}
	if err == nil {
		_, err = to.writing.ExecContext(ctx, "PRAGMA journal_mode(DELETE)")
	}
	err = errors.Join(err, to.Close())
	if err == nil && !y.postgres {
		err = y.attachAndCopy(ctx, file, keys)
	}
	if err == nil {
		err = y.carryPhotos(ctx, file)
	}
	return errors.Join(err, syncFile(file))
}

// expressions are what a back-up without keys holds in place of columns.
var expressions = map[string]string{
	"devices.token":     "'none ' || id",
	"devices.withdrawn": "CASE withdrawn WHEN '' THEN created ELSE withdrawn END",
	"devices.renewal":   "''",
	"devices.following": "''",
	"devices.former":    "''",
	"webhooks.secret":   "''",
	"webhooks.paused":   "CASE paused WHEN '' THEN created ELSE paused END",
}

// leftOut are tables of which a back-up without keys holds nothing.
var leftOut = map[string]bool{"codes": true, "signins": true}

// columnsFor lists the columns of a table as a back-up reads them.
func columnsFor(table string, columns []string, keys Keys) string {
	read := slices.Clone(columns)
	for i, c := range columns {
		if e := expressions[table+"."+c]; e != "" && keys == WithoutKeys {
			read[i] = e
		}
	}
	list := strings.Join(read, ", ")
	if leftOut[table] && keys == WithoutKeys {
		return list + " FROM " + table + " WHERE 1 = 0"
	}
	return list + " FROM " + table
}

// attachAndCopy has SQLite copy every row of one moment to another of its files.
func (y *Yard) attachAndCopy(ctx context.Context, file string, keys Keys) (err error) {
	c, err := y.reading.Conn(ctx)
	if err != nil {
		return err
	}
	defer c.Close()
	s := session{dialect: y.dialect, ctx: ctx, on: c}
	if err := s.exec("ATTACH DATABASE ? AS copy", file); err != nil {
		return err
	}
	defer func() {
		s := session{dialect: y.dialect, ctx: context.WithoutCancel(ctx), on: c}
		if err != nil {
			_ = s.exec("ROLLBACK")
		}
		err = errors.Join(err, s.exec("DETACH DATABASE copy"))
	}()
	statements := []string{"PRAGMA copy.journal_mode = OFF", "PRAGMA copy.synchronous = OFF", "BEGIN"}
	for _, t := range tables {
		some := columnsFor(t.name, t.columns, keys)
		insert := "INSERT INTO copy." + t.name + " (" + strings.Join(t.columns, ", ") + ") SELECT " +
			strings.Replace(some, " FROM ", " FROM main.", 1) + " ORDER BY " + orderOf(t.name, t.columns)
		if some == columnsFor(t.name, t.columns, WithKeys) {
			// Both were made by the same steps: SQLite copies such tables page by page.
			insert = "INSERT INTO copy." + t.name + " SELECT * FROM main." + t.name
		}
		statements = append(statements, "DELETE FROM copy."+t.name, insert)
	}
	for _, statement := range append(statements, "COMMIT") {
		if err := s.exec(statement); err != nil {
			return err
		}
	}
	return nil
}

func orderOf(table string, columns []string) string {
	if table == "audit" {
		return "number"
	}
	return columns[0]
}

// carryPhotos puts the photos that are in the store into a back-up, as pieces.
func (y *Yard) carryPhotos(ctx context.Context, file string) error {
	db, err := sql.Open("sqlite", inURI(file)+
		"?_pragma=journal_mode(OFF)&_pragma=synchronous(OFF)&_pragma=locking_mode(EXCLUSIVE)")
	if err != nil {
		return err
	}
	db.SetMaxOpenConns(1)
	defer db.Close()
	s := session{ctx: ctx, on: db}
	if err := s.exec("DELETE FROM photos WHERE stored < 0 AND complete = 0 AND have = 0"); err != nil {
		return err
	}
	ids, err := s.texts("SELECT id FROM photos WHERE stored = 1 ORDER BY id")
	if err != nil {
		return err
	}
	for _, id := range ids {
		if err := y.carryPhoto(ctx, db, id); err != nil {
			return err
		}
	}
	return s.exec("UPDATE photos SET stored = 0")
}

func (y *Yard) carryPhoto(ctx context.Context, db *sql.DB, id string) error {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer func() { _ = tx.Rollback() }()
	s := session{ctx: ctx, on: tx}
	p, err := readPhoto(s, id, "")
	if err != nil {
		return err
	}
	if err := s.exec("DELETE FROM pieces WHERE photo = ?", id); err != nil {
		return err
	}
	err = func() error {
		r, err := y.readerOf(ctx, p)
		if err != nil {
			return err
		}
		defer r.Close()
		piece := make([]byte, min(MaxPieceBytes, p.Size))
		for at := int64(0); at < p.Size; {
			n, err := io.ReadFull(r, piece[:min(MaxPieceBytes, p.Size-at)])
			if err != nil {
				return err
			}
			if err := s.exec("INSERT INTO pieces (photo, start, bytes) VALUES (?, ?, ?)", id, at, piece[:n]); err != nil {
				return err
			}
			at += int64(n)
		}
		return s.exec("UPDATE photos SET complete = 1, stored = 0, have = size WHERE id = ?", id)
	}()
	var damaged *DamagedError
	if errors.As(err, &damaged) || errors.Is(err, ErrNotFound) { // what is not here is sent again to whoever restores this
		for _, q := range []string{
			"DELETE FROM pieces WHERE photo = ?", "DELETE FROM photo_hashes WHERE photo = ?",
			"UPDATE photos SET complete = 0, stored = 0, have = 0 WHERE id = ?",
		} {
			if err := s.exec(q, id); err != nil {
				return err
			}
		}
		err = nil
	}
	if err != nil {
		return err
	}
	return tx.Commit()
}

func syncFile(file string) error {
	f, err := os.OpenFile(file, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// Restore makes a new yard of a back-up: in a folder that has none, or in a
// PostgreSQL database whose yard is empty. The back-up is checked first, and each of its
// photos: one that is damaged counts as not sent yet.
func Restore(ctx context.Context, file, where string) error {
	return RestoreTo(ctx, file, where, Options{})
}

// RestoreTo is Restore with Options of the new yard. Its photos go into its store, which
// must be no other yard's.
func RestoreTo(ctx context.Context, file, where string, o Options) (err error) {
	layout, err := checkFile(ctx, file)
	if err != nil {
		return err
	}
	if !IsPostgres(where) {
		final := filepath.Join(where, FileName)
		for _, name := range []string{final, final + "-wal"} {
			if _, err := os.Stat(name); !errors.Is(err, os.ErrNotExist) {
				return fmt.Errorf("%s is there already: a back-up is restored into a folder of its own", name)
			}
		}
		defer func() {
			for _, end := range []string{"", "-wal", "-shm"} {
				if err != nil {
					_ = os.Remove(final + end) // so that it can be tried again
				}
			}
		}()
	}
	if photos, rowsOnly, err := photosBeside(ctx, file); err != nil {
		return err
	} else if rowsOnly {
		folder, err := disk.NewWork()
		if err != nil {
			return err
		}
		defer folder.Remove()
		whole := filepath.Join(folder.Name, "whole.sqlite")
		if err := withPhotos(ctx, file, photos, whole); err != nil {
			return err
		}
		file = whole
	}
	var from *Yard
	if layout == len(migrations) {
		from = newYard(Options{})
		if from.reading, err = readingOnly(file); err != nil {
			return err
		}
		from.writing = from.reading
	} else { // a copy is brought up to date, so that the back-up stays as it is
		folder, err := disk.NewWork()
		if err != nil {
			return err
		}
		defer folder.Remove()
		copied := filepath.Join(folder.Name, FileName)
		if err := copyFile(file, copied); err != nil {
			return err
		}
		if from, err = openFile(ctx, copied, Options{copied: true, NotDurable: true}); err != nil {
			return err
		}
	}
	defer func() { err = errors.Join(err, from.Close()) }()
	o.Alone = true
	into, err := Open(ctx, where, o)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, into.Close()) }()
	var moved map[string][]byte
	var name string
	if into.objects != nil {
		if moved, err = from.photosTo(ctx, into); err != nil {
			return err
		}
		if name, _, err = into.storeName(ctx); err != nil {
			return err
		}
	}
	return copyRows(ctx, from, into, WithKeys, moved, func(s session) error {
		err := s.exec("DELETE FROM identity WHERE name = 'photos'")
		if err == nil && name != "" {
			err = s.exec("INSERT INTO identity (name, value) VALUES ('photos', ?)", name)
		}
		for id, blocks := range moved {
			if err == nil && blocks == nil {
				err = s.exec("UPDATE photos SET complete = 0, have = 0, damaged = ? WHERE id = ?", into.time(), id)
			} else if err == nil {
				if err = s.exec("UPDATE photos SET complete = 0, have = 0, stored = 1 WHERE id = ?", id); err == nil {
					err = keepHashes(s, id, blocks)
				}
			}
		}
		if err != nil {
			return err
		}
		return renew(s)
	})
}

func copyFile(from, to string) error {
	f, err := os.Open(from)
	if err != nil {
		return err
	}
	defer f.Close()
	t, err := os.OpenFile(to, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	_, err = t.ReadFrom(f)
	return errors.Join(err, t.Close())
}

// photosTo puts all whole photos of a back-up into another yard's store, and returns the
// hashes of their blocks, nil for those that are damaged.
func (y *Yard) photosTo(ctx context.Context, into *Yard) (map[string][]byte, error) {
	moved := map[string][]byte{}
	sizes := map[string]int64{}
	err := y.view(ctx, func(s session) error {
		return s.rows("SELECT id, size FROM photos WHERE complete = 1", nil, func(scan func(...any) error) error {
			var id string
			var size int64
			err := scan(&id, &size)
			sizes[id] = size
			return err
		})
	})
	if err != nil {
		return nil, err
	}
	for id, size := range sizes {
		o, err := into.store(ctx)
		if err != nil {
			return nil, err
		}
		moved[id], err = o.put(ctx, id, size, func(w io.Writer) error {
			_, err := io.Copy(w, &pieceReader{y: y, ctx: ctx, id: id, end: size})
			return err
		})
		var damaged *DigestError
		if err != nil && !errors.As(err, &damaged) {
			return nil, err
		}
	}
	return moved, nil
}

// checkFile refuses what is no whole yard.
func checkFile(ctx context.Context, file string) (layout int, err error) {
	if _, err := os.Stat(file); err != nil {
		return 0, err
	}
	db, err := sql.Open("sqlite", inURI(file)+"?mode=ro")
	if err != nil {
		return 0, err
	}
	defer db.Close()
	s := session{ctx: ctx, on: db}
	var said string
	if err := s.row("PRAGMA integrity_check(1)", nil, &said); err != nil {
		return 0, fmt.Errorf("%s is no back-up of a yard: %w", file, err)
	}
	if said != "ok" {
		return 0, fmt.Errorf("%s is damaged: %s", file, said)
	}
	var version int
	if err := s.row("SELECT COALESCE(MAX(version), 0) FROM layout", nil, &version); err != nil || version < 1 {
		return 0, fmt.Errorf("%s is no back-up of a yard", file)
	}
	return version, newer(version)
}

// copyRows copies every row into an empty yard, in one transaction, but no pieces of
// photos that were moved; then, which may be nil, ends it.
func copyRows(ctx context.Context, from, to *Yard, keys Keys, moved map[string][]byte, then func(session) error) error {
	return from.view(ctx, func(r session) error {
		return to.update(ctx, func(w session) error {
			var turn int64
			if err := w.row("SELECT value FROM counters WHERE name = 'turn'", nil, &turn); err != nil {
				return err
			}
			var devices int
			if err := w.row("SELECT COUNT(*) FROM devices", nil, &devices); err != nil {
				return err
			}
			if turn > 0 || devices > 0 {
				return errors.New("the yard to restore into is not empty")
			}
			for _, t := range tables {
				if err := copyTable(r, w, t.name, t.columns, keys, moved); err != nil {
					return fmt.Errorf("%s: %w", t.name, err)
				}
			}
			if then != nil {
				return then(w)
			}
			return nil
		})
	})
}

func copyTable(r, w session, name string, columns []string, keys Keys, moved map[string][]byte) error {
	if name == "pieces" && len(moved) > 0 {
		return copyTableWhere(r, w, name, columns, keys, " WHERE photo IN (SELECT id FROM photos WHERE complete = 0)")
	}
	return copyTableWhere(r, w, name, columns, keys, "")
}

func copyTableWhere(r, w session, name string, columns []string, keys Keys, where string) error {
	if err := w.exec("DELETE FROM " + name); err != nil {
		return err
	}
	insert := "INSERT INTO " + name + " (" + strings.Join(columns, ", ") + ") VALUES (?" + strings.Repeat(", ?", len(columns)-1) + ")"
	some := columnsFor(name, columns, keys) + where
	return r.rows("SELECT "+some+" ORDER BY "+orderOf(name, columns), nil, func(scan func(...any) error) error {
		values := make([]any, len(columns))
		to := make([]any, len(columns))
		for i := range values {
			to[i] = &values[i]
		}
		if err := scan(to...); err != nil {
			return err
		}
		return w.exec(insert, values...)
	})
}
