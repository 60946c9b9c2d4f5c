package yard

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"pegpour/storage/yard/disk"
	"slices"
	"strings"
	"time"
)

// Back-ups in a folder: each is a file with every row of the yard and without the
// photos, and beside them stands one folder with every photo that any of them needs, as
// a file named by the SHA-256 of its bytes. A photo that is there is not copied again.

// SetPhotos is the folder of the photos beside the back-ups of a folder.
const SetPhotos = "photos"

const (
	setBegins = "yard-"
	setEnds   = ".sqlite"
	setTime   = "2006-01-02T150405Z"
)

// BackUpSet is one back-up of a folder of back-ups.
type BackUpSet struct {
	File string    `json:"file"` // its name in the folder
	Made time.Time `json:"made"`
	Size int64     `json:"size"` // bytes of the file, without photos
}

// BackUpReport is what making a back-up came to.
type BackUpReport struct {
	BackUpSet
	Photos int // that belong to it
	New    int // of those, copied now
	// Lacking are whole in the yard by its list and damaged or gone in fact: they are in
	// no back-up, and a device that has one sends it again.
	Lacking []string
	// Examined is what was found in the copy: the damage of the yard, if there is any.
	Examined Examination
}

// BackUps lists the back-ups of a folder, the newest first; none where there is no folder.
func BackUps(folder string) ([]BackUpSet, error) {
	entries, err := os.ReadDir(folder)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return nil, err
	}
	all := []BackUpSet{}
	for _, e := range entries {
		text, found := strings.CutPrefix(e.Name(), setBegins)
		text, ended := strings.CutSuffix(text, setEnds)
		made, err := time.Parse(setTime, text)
		if !found || !ended || err != nil {
			continue
		}
		info, err := e.Info()
		if errors.Is(err, os.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		all = append(all, BackUpSet{e.Name(), made, info.Size()})
	}
	slices.SortFunc(all, func(a, b BackUpSet) int { return b.Made.Compare(a.Made) })
	return all, nil
}

// BackUpTo makes a back-up in a folder, while the yard goes on working. It has its name,
// and is listed, once it is known to be good: its rows were restored into a second place
// and are the same as they were in the yard, nothing there is damaged that is not damaged
// in the yard, and every photo was read and has the bytes of its name. Errors: ErrBackingUp
// when another server makes one there.
func (y *Yard) BackUpTo(ctx context.Context, folder string) (r BackUpReport, err error) {
	if err := os.MkdirAll(filepath.Join(folder, SetPhotos), 0o700); err != nil {
		return r, err
	}
	held, err := disk.Hold(folder)
	if errors.Is(err, ErrInUse) {
		err = ErrBackingUp
	}
	if err != nil {
		return r, err
	}
	defer func() { err = errors.Join(err, held.Release()) }()
	left, _ := filepath.Glob(filepath.Join(folder, ".part-*"))
	for _, name := range left { // of a server that was killed
		_ = os.RemoveAll(name)
	}
	work, err := os.MkdirTemp(folder, ".part-")
	if err != nil {
		return r, err
	}
	defer os.RemoveAll(work)

	r.Made = y.now().UTC().Truncate(time.Second)
	final := func() string {
		r.File = setBegins + r.Made.Format(setTime) + setEnds
		return filepath.Join(folder, r.File)
	}
	for there(final()) { // two in one second: the names keep their order
		r.Made = r.Made.Add(time.Second)
	}
	part := filepath.Join(work, FileName)
	rows, err := y.backUpRows(ctx, part)
	if err != nil {
		return r, err
	}
	if err := y.collectPhotos(ctx, part, filepath.Join(folder, SetPhotos), &r); err != nil {
		return r, err
	}
	if err := proveSet(ctx, part, filepath.Join(folder, SetPhotos), filepath.Join(work, "second"), rows, &r); err != nil {
		return r, err
	}
	if info, err := os.Stat(part); err == nil {
		r.Size = info.Size()
	}
	if err := errors.Join(syncFile(part), os.Rename(part, final()), syncFolder(folder)); err != nil {
		return r, err
	}
	return r, nil
}

// backUpRows writes every row but the bytes of whole photos to file, and returns the
// digest of the rows as they are in the yard.
func (y *Yard) backUpRows(ctx context.Context, file string) (digest string, err error) {
	select {
	case y.backingUp <- struct{}{}:
		defer func() { <-y.backingUp }()
	case <-ctx.Done():
		return "", ctx.Err()
	}
	to, err := openFile(ctx, file, Options{NotDurable: true}) // it is synced at the end
	if err != nil {
		return "", err
	}
	err = y.view(ctx, func(r session) error {
		if digest, err = rowsDigest(r); err != nil {
			return err
		}
		return to.update(ctx, func(w session) error {
			for _, t := range tables {
				where := ""
				if t.name == "pieces" {
					where = " WHERE photo IN (SELECT id FROM photos WHERE complete = 0 AND stored < 1)"
				}
				if err := copyTableWhere(r, w, t.name, t.columns, WithKeys, where); err != nil {
					return fmt.Errorf("%s: %w", t.name, err)
				}
			}
			return w.exec("DELETE FROM photos WHERE stored < 0 AND complete = 0 AND have = 0")
		})
	})
	if err == nil {
		_, err = to.writing.ExecContext(ctx, "PRAGMA journal_mode(DELETE)")
	}
	return digest, errors.Join(err, to.Close())
}

// placed are columns and tables that differ between a yard and its restored back-up by
// their nature: who it is now, and where the bytes of photos are.
var placed = map[string][]string{
	"identity": nil, "photo_hashes": nil, "pieces": nil,
	"photos": {"id", "type", "size", "width", "height", "received", "device", "unused"},
}

// rowsDigest is a SHA-256 over every row of a yard that a back-up has to hold.
func rowsDigest(s session) (string, error) {
	sum := sha256.New()
	for _, t := range tables {
		columns, some := placed[t.name]
		if !some {
			columns = t.columns
		}
		if len(columns) == 0 {
			continue
		}
		fmt.Fprintf(sum, "table %s\n", t.name)
		where := ""
		if t.name == "photos" { // one that is being let go, or of which nothing has come, need not be there
			where = " WHERE complete = 1 OR stored = 1 OR have > 0"
		}
		// Rows are ordered by all that is compared, so that both databases give one order.
		order := columns
		if t.name == "revisions" {
			order = columns[:1] // which no other has; the bytes need not be sorted by
		}
		query := "SELECT " + strings.Join(columns, ", ") + " FROM " + t.name + where + " ORDER BY " + strings.Join(order, ", ")
		err := s.rows(query, nil, func(scan func(...any) error) error {
			values, to := make([]any, len(columns)), make([]any, len(columns))
			for i := range values {
				to[i] = &values[i]
			}
			if err := scan(to...); err != nil {
				return err
			}
			for _, v := range values {
				if b, ok := v.([]byte); ok {
					v = string(b)
				}
				text := fmt.Sprint(v)
				fmt.Fprintf(sum, "%d:%s", len(text), text)
			}
			return nil
		})
		if err != nil {
			return "", fmt.Errorf("%s: %w", t.name, err)
		}
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// collectPhotos puts the whole photos of a back-up into the folder, where they are not
// there already, and notes in the back-up that they are whole.
func (y *Yard) collectPhotos(ctx context.Context, file, folder string, r *BackUpReport) error {
	db, err := sql.Open("sqlite", inURI(file))
	if err != nil {
		return err
	}
	db.SetMaxOpenConns(1)
	defer db.Close()
	s := session{ctx: ctx, on: db}
	ids, err := s.texts("SELECT id FROM photos WHERE complete = 1 OR stored = 1 ORDER BY id")
	if err != nil {
		return err
	}
	for _, id := range ids {
		name := filepath.Join(folder, id)
		info, err := os.Stat(name)
		p, readErr := readPhoto(s, id, "")
		if readErr != nil {
			return readErr
		}
		switch {
		case err == nil && info.Size() == p.Size:
		case err == nil || errors.Is(err, os.ErrNotExist):
			err := y.collectPhoto(ctx, p, name)
			var damaged *DamagedError
			if errors.As(err, &damaged) || errors.Is(err, ErrNotFound) {
				r.Lacking = append(r.Lacking, id)
				continue
			}
			if err != nil {
				return err
			}
			r.New++
		default:
			return err
		}
		r.Photos++
	}
	if r.New > 0 {
		return syncFolder(folder)
	}
	return nil
}

func (y *Yard) collectPhoto(ctx context.Context, p photo, name string) error {
	from, err := y.readerOf(ctx, p)
	if err != nil {
		return err
	}
	defer from.Close()
	part := name + ".part"
	f, err := os.OpenFile(part, os.O_CREATE|os.O_TRUNC|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(f, from)
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
		return errors.Join(err, os.Remove(part))
	}
	return os.Rename(part, name)
}

// proveSet holds a back-up against what it was made of: its rows restored into a second
// place, and each photo against its name.
func proveSet(ctx context.Context, file, photos, second, rows string, r *BackUpReport) error {
	if err := restoreRows(ctx, file, second); err != nil {
		return fmt.Errorf("the back-up cannot be restored: %w", err)
	}
	db, err := readingOnly(filepath.Join(second, FileName))
	if err != nil {
		return err
	}
	y := newYard(Options{})
	y.reading, y.writing = db, db
	err = func() error {
		var again string
		if err := y.view(ctx, func(s session) (err error) {
			again, err = rowsDigest(s)
			return err
		}); err != nil {
			return err
		}
		if again != rows {
			return errors.New("the back-up, restored, is not what was in the yard")
		}
		if r.Examined, err = y.examineRows(ctx); err != nil {
			return err
		}
		for _, f := range r.Examined.Findings {
			if f.Kind == DamagedDatabase || f.Kind == DamagedIndex {
				return fmt.Errorf("the back-up is damaged: %s", f.Words)
			}
		}
		return nil
	}()
	if err := errors.Join(err, y.Close()); err != nil {
		return err
	}
	ids, err := setPhotos(ctx, file)
	if err != nil {
		return err
	}
	for _, id := range ids {
		if slices.Contains(r.Lacking, id) {
			continue
		}
		if err := checkNamed(filepath.Join(photos, id)); err != nil {
			// It is copied anew the next time; until then no back-up that needs it is called good.
			return fmt.Errorf("the photo %s in the folder of back-ups was damaged there: %w", id,
				errors.Join(err, os.Remove(filepath.Join(photos, id))))
		}
		r.Examined.Photos++
	}
	return nil
}

// restoreRows restores the rows of a back-up into a folder, as Restore does.
func restoreRows(ctx context.Context, file, folder string) (err error) {
	db, err := readingOnly(file)
	if err != nil {
		return err
	}
	from := newYard(Options{})
	from.reading, from.writing = db, db
	defer func() { err = errors.Join(err, from.Close()) }()
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return err
	}
	into, err := openFile(ctx, filepath.Join(folder, FileName), Options{NotDurable: true})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, into.Close()) }()
	return copyRows(ctx, from, into, WithKeys, nil, renew)
}

// setPhotos lists the photos that a back-up needs.
func setPhotos(ctx context.Context, file string) ([]string, error) {
	db, err := readingOnly(file)
	if err != nil {
		return nil, err
	}
	defer db.Close()
	s := session{ctx: ctx, on: db}
	return s.texts("SELECT id FROM photos WHERE complete = 1 OR stored = 1 ORDER BY id")
}

// checkNamed reads a file and holds it against its name.
func checkNamed(name string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil {
		return err
	}
	if hex.EncodeToString(sum.Sum(nil)) != filepath.Base(name) {
		return errWrongBytes
	}
	return nil
}

// PruneBackUps keeps the newest back-ups of a folder and removes the others, and the
// photos that none of those kept needs. The newest stays always. Nothing is removed when
// one of those that are kept cannot be read.
func PruneBackUps(ctx context.Context, folder string, keep int) (removed []BackUpSet, photos int, err error) {
	held, err := disk.Hold(folder)
	if errors.Is(err, ErrInUse) {
		err = ErrBackingUp
	}
	if err != nil {
		return nil, 0, err
	}
	defer func() { err = errors.Join(err, held.Release()) }()
	all, err := BackUps(folder)
	keep = max(keep, 1)
	if err != nil || len(all) <= keep {
		return nil, 0, err
	}
	needed := map[string]bool{}
	for _, b := range all[:keep] {
		ids, err := setPhotos(ctx, filepath.Join(folder, b.File))
		if err != nil {
			return nil, 0, fmt.Errorf("%s: %w", b.File, err)
		}
		for _, id := range ids {
			needed[id] = true
		}
	}
	for _, b := range all[keep:] {
		if err := os.Remove(filepath.Join(folder, b.File)); err != nil {
			return removed, 0, err
		}
		removed = append(removed, b)
	}
	entries, err := os.ReadDir(filepath.Join(folder, SetPhotos))
	if err != nil {
		return removed, 0, err
	}
	for _, e := range entries {
		if id := e.Name(); IsHash(id) && !needed[id] {
			if err := os.Remove(filepath.Join(folder, SetPhotos, id)); err != nil {
				return removed, photos, err
			}
			photos++
		}
	}
	return removed, photos, nil
}

// withPhotos makes of a back-up of a folder, and the photos beside it, one that has them
// in it, as a file of its own.
func withPhotos(ctx context.Context, file, photos, to string) error {
	if err := copyFile(file, to); err != nil {
		return err
	}
	db, err := sql.Open("sqlite", inURI(to)+"?_pragma=journal_mode(OFF)&_pragma=synchronous(OFF)")
	if err != nil {
		return err
	}
	db.SetMaxOpenConns(1)
	defer db.Close()
	s := session{ctx: ctx, on: db}
	ids, err := s.texts("SELECT id FROM photos WHERE complete = 1 OR stored = 1 ORDER BY id")
	if err != nil {
		return err
	}
	for _, id := range ids {
		if err := piecesOf(s, id, filepath.Join(photos, id)); err != nil {
			return fmt.Errorf("photo %s: %w", id, err)
		}
	}
	return nil
}

// piecesOf puts a file into a back-up as a photo. One that is damaged or not there counts
// as not sent yet, so that a device that has it sends it again.
func piecesOf(s session, id, name string) error {
	if err := checkNamed(name); err != nil {
		if !errors.Is(err, errWrongBytes) && !errors.Is(err, os.ErrNotExist) {
			return err
		}
		return s.exec("UPDATE photos SET complete = 0, stored = 0, have = 0 WHERE id = ?", id)
	}
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	piece := make([]byte, MaxPieceBytes)
	for at := int64(0); ; {
		n, err := io.ReadFull(f, piece)
		if n > 0 {
			if err := s.exec("INSERT INTO pieces (photo, start, bytes) VALUES (?, ?, ?)", id, at, piece[:n]); err != nil {
				return err
			}
			at += int64(n)
		}
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			return s.exec("UPDATE photos SET complete = 1, stored = 0, have = size WHERE id = ?", id)
		}
		if err != nil {
			return err
		}
	}
}

// photosBeside finds the folder with the photos of a back-up that has whole photos and
// not their bytes. Errors: where it has none and the folder is not there, nothing can be
// restored: somebody copied the file alone.
func photosBeside(ctx context.Context, file string) (folder string, rowsOnly bool, err error) {
	db, err := readingOnly(file)
	if err != nil {
		return "", false, err
	}
	defer db.Close()
	s := session{ctx: ctx, on: db}
	// Older layouts have their photos in them.
	columns, err := s.texts("SELECT name FROM pragma_table_info('photos') WHERE name = 'stored'")
	if err != nil || len(columns) == 0 {
		return "", false, err
	}
	lacking, err := s.texts("SELECT id FROM photos WHERE (complete = 1 OR stored = 1) AND id NOT IN (SELECT photo FROM pieces) LIMIT 1")
	if err != nil || len(lacking) == 0 {
		return "", false, err
	}
	folder = filepath.Join(filepath.Dir(file), SetPhotos)
	if _, err := os.Stat(folder); err != nil {
		return "", true, fmt.Errorf("the photos of this back-up stand in the folder %s beside it: %w", SetPhotos, err)
	}
	return folder, true, nil
}

func there(file string) bool {
	_, err := os.Stat(file)
	return err == nil
}
