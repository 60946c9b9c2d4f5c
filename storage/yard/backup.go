package yard

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// BackUp writes the whole yard as an SQLite database to file, which must not
// exist, while it goes on working: as it stood at one moment. From SQLite it
// is VACUUM INTO, from PostgreSQL a copy of every row.
func (y *Yard) BackUp(ctx context.Context, file string) error {
	if _, err := os.Stat(file); !errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("%s is there already", file)
	}
	if !y.postgres {
		_, err := y.reading.ExecContext(ctx, "VACUUM INTO ?", file)
		if err == nil {
			err = os.Chmod(file, 0o600)
		}
		return errors.Join(err, syncFile(file))
	}
	to, err := openFile(ctx, file, Options{})
	if err != nil {
		return err
	}
	err = copyRows(ctx, y, to, nil)
	if err == nil {
		_, err = to.writing.ExecContext(ctx, "PRAGMA journal_mode(DELETE)")
	}
	return errors.Join(err, to.Close(), syncFile(file))
}

// BackUpWithoutKeys is BackUp without what lets devices in: for a file that
// leaves the machine. After restoring it every device is paired anew.
func (y *Yard) BackUpWithoutKeys(ctx context.Context, file string) error {
	if err := y.BackUp(ctx, file); err != nil {
		return err
	}
	db, err := sql.Open("sqlite", file)
	if err != nil {
		return err
	}
	for _, statement := range []string{
		"PRAGMA secure_delete = ON",
		"DELETE FROM codes",
		"UPDATE devices SET token = 'none ' || id, withdrawn = CASE withdrawn WHEN '' THEN created ELSE withdrawn END",
		"VACUUM",
	} {
		if err == nil {
			_, err = db.ExecContext(ctx, statement)
		}
	}
	return errors.Join(err, db.Close())
}

func syncFile(file string) error {
	f, err := os.OpenFile(file, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// Restore makes a new yard of a back-up: in a folder that has none, or in a
// PostgreSQL database whose yard is empty. The back-up is checked first.
func Restore(ctx context.Context, file, where string) error {
	if err := checkFile(ctx, file); err != nil {
		return err
	}
	if !IsPostgres(where) {
		final := filepath.Join(where, FileName)
		for _, name := range []string{final, final + "-wal"} {
			if _, err := os.Stat(name); !errors.Is(err, os.ErrNotExist) {
				return fmt.Errorf("%s is there already: a back-up is restored into a folder of its own", name)
			}
		}
	}
	// A copy is opened, so that the back-up stays as it is whatever its layout.
	folder, err := os.MkdirTemp("", "pegpour-restore-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	data, err := os.Open(file)
	if err != nil {
		return err
	}
	defer data.Close()
	copied := filepath.Join(folder, FileName)
	to, err := os.OpenFile(copied, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	_, err = to.ReadFrom(data)
	if err := errors.Join(err, to.Close()); err != nil {
		return err
	}
	from, err := openFile(ctx, copied, Options{copied: true})
	if err != nil {
		return err
	}
	into, err := Open(ctx, where, Options{})
	if err != nil {
		return errors.Join(err, from.Close())
	}
	return errors.Join(copyRows(ctx, from, into, renew), from.Close(), into.Close())
}

// checkFile refuses what is no whole yard.
func checkFile(ctx context.Context, file string) error {
	if _, err := os.Stat(file); err != nil {
		return err
	}
	db, err := sql.Open("sqlite", "file:"+file+"?mode=ro")
	if err != nil {
		return err
	}
	defer db.Close()
	s := session{dialect{}, ctx, db}
	var said string
	if err := s.row("PRAGMA integrity_check(1)", nil, &said); err != nil {
		return fmt.Errorf("%s is no back-up of a yard: %w", file, err)
	}
	if said != "ok" {
		return fmt.Errorf("%s is damaged: %s", file, said)
	}
	var version int
	if err := s.row("SELECT COALESCE(MAX(version), 0) FROM layout", nil, &version); err != nil || version < 1 {
		return fmt.Errorf("%s is no back-up of a yard", file)
	}
	return nil
}

// copyRows copies every row into an empty yard, in one transaction; then, which
// may be nil, ends it.
func copyRows(ctx context.Context, from, to *Yard, then func(session) error) error {
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
				if err := copyTable(r, w, t.name, t.columns); err != nil {
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

func copyTable(r, w session, name string, columns []string) error {
	if err := w.exec("DELETE FROM " + name); err != nil {
		return err
	}
	list := strings.Join(columns, ", ")
	insert := "INSERT INTO " + name + " (" + list + ") VALUES (?" + strings.Repeat(", ?", len(columns)-1) + ")"
	order := columns[0]
	if name == "audit" {
		order = "number"
	}
	return r.rows("SELECT "+list+" FROM "+name+" ORDER BY "+order, nil, func(scan func(...any) error) error {
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
