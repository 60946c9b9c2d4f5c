package yard

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"pegpour/storage/yard/disk"
	"strings"
)

// Upgrade says what opening a yard does to its database first.
type Upgrade struct {
	// From and To are layouts; they are equal where nothing is to be done. From is 0
	// where there is no yard yet.
	From, To int
	// BackUp is what keeps the database as it was: a file beside it or, in PostgreSQL,
	// what the names of the copied tables begin with; "" where none is made.
	BackUp string
	// Needs and Free are bytes: what the back-up takes at most and what the disk has.
	// Free is -1 where that cannot be told; both are 0 for PostgreSQL.
	Needs, Free int64
}

// Due reports whether a database is there and has to be changed.
func (u Upgrade) Due() bool { return u.From > 0 && u.From < u.To }

// What keeps a database from being brought up to date, beside ErrNewer. It is left as
// it is, to the byte.
var (
	// ErrNoYard: the file is another program's, or damaged.
	ErrNoYard = errors.New("this is no sound database of a yard")
	// ErrNoRoom: the disk has no room for the back-up that is made first.
	ErrNoRoom = errors.New("no room for the back-up that is made before the database is changed")
)

// CheckUpgrade says what opening the yard would do, and changes nothing. Errors:
// ErrNewer, ErrNoYard, ErrNoRoom.
func CheckUpgrade(ctx context.Context, where string, o Options) (Upgrade, error) {
	if !IsPostgres(where) {
		return checkFileUpgrade(ctx, filepath.Join(where, FileName), o)
	}
	db, err := dialPostgres(where)
	if err != nil {
		return Upgrade{}, err
	}
	defer db.Close()
	y := newYard(o)
	y.postgres, y.reading, y.writing = true, db, db
	u := Upgrade{To: len(migrations)}
	err = y.view(ctx, func(s session) error {
		var there bool
		if err := s.row("SELECT to_regclass('layout') IS NOT NULL", nil, &there); err != nil || !there {
			return err
		}
		return s.row("SELECT COALESCE(MAX(version), 0) FROM layout", nil, &u.From)
	})
	if u.Due() {
		u.BackUp = y.copiesBegin(u.From)
	}
	return u, errors.Join(err, newer(u.From))
}

func newer(layout int) error {
	if layout > len(migrations) {
		return fmt.Errorf("%w: layout %d, this program knows %d", ErrNewer, layout, len(migrations))
	}
	return nil
}

func (y *Yard) copiesBegin(layout int) string {
	return fmt.Sprintf("layout%d_%s_", layout, y.now().UTC().Format("20060102150405"))
}

// reading opens a database without touching its folder: nothing is made beside it.
func readingOnly(file string) (*sql.DB, error) {
	how := "mode=ro"
	_, open := os.Stat(file + "-shm")
	if wal, err := os.Stat(file + "-wal"); open != nil && (err != nil || wal.Size() == 0) {
		how += "&immutable=1" // nobody has it open
	}
	return sql.Open("sqlite", inURI(file)+"?"+how)
}

// checkFileUpgrade is CheckUpgrade for an SQLite database.
func checkFileUpgrade(ctx context.Context, file string, o Options) (Upgrade, error) {
	u := Upgrade{To: len(migrations), Free: -1}
	size, err := os.Stat(file)
	if errors.Is(err, os.ErrNotExist) || err == nil && size.Size() == 0 {
		return u, nil
	}
	if err != nil {
		return u, err
	}
	db, err := readingOnly(file)
	if err != nil {
		return u, err
	}
	defer db.Close()
	s := session{dialect{}, ctx, db}
	var tables int
	if err := s.row("SELECT COUNT(*) FROM sqlite_master", nil, &tables); err != nil {
		return u, fmt.Errorf("%s: %w: %w", file, ErrNoYard, err)
	}
	if tables == 0 { // it was begun to be made
		return u, nil
	}
	if err := s.row("SELECT COALESCE(MAX(version), 0) FROM layout", nil, &u.From); err != nil {
		return u, fmt.Errorf("%s: %w: %w", file, ErrNoYard, err)
	}
	if err := newer(u.From); err != nil || !u.Due() {
		return u, err
	}
	var said string
	if err := s.row("PRAGMA integrity_check(1)", nil, &said); err != nil {
		return u, fmt.Errorf("%s: %w: %w", file, ErrNoYard, err)
	}
	if said != "ok" {
		return u, fmt.Errorf("%s: %w: %s", file, ErrNoYard, said)
	}
	begin := filepath.Join(filepath.Dir(file),
		fmt.Sprintf("yard-layout%d-%s", u.From, newYard(o).now().UTC().Format("2006-01-02T150405Z")))
	u.BackUp = begin + ".sqlite"
	for n := 2; ; n++ { // one that was killed may have made one within this second
		if _, err := os.Lstat(u.BackUp); err != nil {
			break
		}
		u.BackUp = fmt.Sprintf("%s-%d.sqlite", begin, n)
	}
	u.Needs = size.Size()
	if wal, err := os.Stat(file + "-wal"); err == nil {
		u.Needs += wal.Size()
	}
	room := o.Room
	if room == nil {
		room = disk.Free
	}
	if u.Free = room(filepath.Dir(file)); u.Free >= 0 && u.Free < 2*u.Needs { // the change itself takes room too
		return u, fmt.Errorf("%w: %d bytes are free, %d are needed", ErrNoRoom, u.Free, 2*u.Needs)
	}
	return u, nil
}

// keepBefore makes the back-up of an SQLite database that is about to be changed, and
// reads it again. Nothing is left of one that did not come to its end.
func (y *Yard) keepBefore(ctx context.Context, file string, u Upgrade) error {
	db, err := readingOnly(file)
	if err != nil {
		return err
	}
	defer db.Close()
	if _, err := os.Stat(u.BackUp); err == nil {
		return fmt.Errorf("%s is there already", u.BackUp)
	}
	part := u.BackUp + ".part"
	killed, _ := filepath.Glob(filepath.Join(inGlob(filepath.Dir(file)), "yard-layout*.sqlite.part"))
	for _, name := range killed { // of runs that were killed: whoever copies holds the folder
		_ = os.Remove(name)
	}
	err = func() error {
		if err := onlyOurs(part); err != nil { // an empty file is written into
			return err
		}
		if _, err := db.ExecContext(ctx, "VACUUM INTO ?", part); err != nil {
			return err
		}
		if err := syncFile(part); err != nil {
			return err
		}
		if _, err := checkFile(ctx, part); err != nil {
			return err
		}
		copied, err := readingOnly(part)
		if err != nil {
			return err
		}
		err = sameRows(session{dialect{}, ctx, db}, session{dialect{}, ctx, copied})
		return errors.Join(err, copied.Close(), y.fault("copied"))
	}()
	if err == nil {
		err = os.Rename(part, u.BackUp)
	}
	if err == nil {
		err = y.fault("kept")
	}
	if err != nil {
		_ = os.Remove(part)
	}
	if IsFull(err) {
		err = fmt.Errorf("%w: %w", ErrNoRoom, err)
	}
	return err
}

// inGlob is a folder in a pattern, whatever is in its name.
func inGlob(folder string) string {
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "?", `\?`, "[", `\[`).Replace(folder)
}

// sameRows holds the number of rows of each table of a copy against the original.
func sameRows(from, to session) error {
	names, err := from.texts("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
	if err != nil {
		return err
	}
	for _, name := range names {
		var counts [2]int64
		for i, s := range []session{from, to} {
			if err := s.row(`SELECT COUNT(*) FROM "`+strings.ReplaceAll(name, `"`, `""`)+`"`, nil, &counts[i]); err != nil {
				return err
			}
		}
		if counts[0] != counts[1] {
			return fmt.Errorf("the back-up holds %d of %d rows of %s: does another server write meanwhile?", counts[1], counts[0],
				name)
		}
	}
	return nil
}

// copyBefore copies every table of a PostgreSQL database within the transaction that
// changes them, so that there are both or neither. They are of no use to the program:
// whoever runs the database takes back by them, or drops them.
func (y *Yard) copyBefore(s session, layout int) error {
	begin := y.copiesBegin(layout)
	names, err := s.texts(`SELECT tablename::text FROM pg_tables WHERE schemaname = current_schema() ORDER BY tablename`)
	if err != nil {
		return err
	}
	for _, name := range names {
		if !isTable(name) {
			continue
		}
		if err := s.exec("CREATE TABLE " + begin + name + " AS TABLE " + name); err != nil {
			return err
		}
	}
	return nil
}

func isTable(name string) bool {
	for i := range tables {
		if tables[i].name == name {
			return true
		}
	}
	return name == "layout"
}
