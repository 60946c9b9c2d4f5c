package yard

import (
	"context"
	"errors"

	"pegpour/engine/refusal"
)

// ErrChanged: what a change was to rest on is no longer so.
var ErrChanged = error(refusal.Error("changed meanwhile: look again"))

const markColumns = `marks.mark, marks.at, marks.device, marks.person, COALESCE(
	(SELECT name FROM people WHERE people.id = marks.person), (SELECT name FROM devices WHERE devices.id = marks.device), '')
	FROM marks`

func scanMark(scan func(...any) error) (Mark, error) {
	var m Mark
	err := scan(&m.Mark, &m.At, &m.Device, &m.Person, &m.By)
	m.Tag = hashed(m.Mark + "\n" + m.At + "\n" + m.Device)[:16]
	return m, err
}

// Mark reads one mark of a site. Errors: ErrNotFound, *GoneError, *InvalidError.
func (y *Yard) Mark(ctx context.Context, site, mark string) (Mark, error) {
	if err := checkMark(mark); err != nil {
		return Mark{}, err
	}
	var m Mark
	err := y.view(ctx, func(s session) error {
		err := gone(s, site)
		if err == nil {
			m, err = readMark(s, site, mark)
		}
		return err
	})
	return m, err
}

func readMark(s session, site, mark string) (Mark, error) {
	m, err := Mark{}, ErrNotFound
	rows := s.rows("SELECT "+markColumns+" WHERE site = ? AND mark = ?", []any{site, mark},
		func(scan func(...any) error) error {
			m, err = scanMark(scan)
			return err
		})
	return m, errors.Join(rows, err)
}

// SentTo reports whether a device sent a version of a site. Errors: ErrNotFound when
// there is no such site, *GoneError.
func (y *Yard) SentTo(ctx context.Context, device, site string) (sent bool, err error) {
	err = y.view(ctx, func(s session) error {
		if err := gone(s, site); err != nil {
			return err
		}
		if err := s.row("SELECT 1 FROM sites WHERE id = ? AND turn > 0", []any{site}, new(int)); err != nil {
			return err
		}
		found, err := s.texts("SELECT name FROM revisions WHERE site = ? AND device = ? LIMIT 1", site, device)
		sent = len(found) > 0
		return err
	})
	return sent, err
}

// SetMark notes something of a site; again it changes nothing. still is asked
// what stands there at the moment, nil for nothing; false refuses the change
// with ErrChanged. nil always allows. Errors: ErrNotFound, ErrChanged,
// *GoneError, *InvalidError.
func (y *Yard) SetMark(ctx context.Context, device, site, mark string, still func(*Mark) bool) (Mark, error) {
	var now Mark
	err := y.mark(ctx, site, mark, still, func(s session) (bool, error) {
		n, err := s.changed(`INSERT INTO marks (site, mark, at, device, person) VALUES (?, ?, ?, ?,
			COALESCE((SELECT person FROM devices WHERE id = ?), '')) ON CONFLICT (site, mark) DO NOTHING`,
			site, mark, y.time(), device, device)
		if err == nil {
			now, err = readMark(s, site, mark)
		}
		return n > 0, err
	})
	return now, err
}

// ClearMark takes a mark back; still and errors as with SetMark.
func (y *Yard) ClearMark(ctx context.Context, site, mark string, still func(*Mark) bool) error {
	return y.mark(ctx, site, mark, still, func(s session) (bool, error) {
		n, err := s.changed("DELETE FROM marks WHERE site = ? AND mark = ?", site, mark)
		return n > 0, err
	})
}

func checkMark(mark string) error {
	if mark != Quoted && mark != Poured {
		return invalid("a mark is {0} or {1}", refusal.Typed(Quoted), refusal.Typed(Poured))
	}
	return nil
}

func (y *Yard) mark(ctx context.Context, site, mark string, still func(*Mark) bool,
	do func(session) (changed bool, err error)) error {
	if err := checkMark(mark); err != nil {
		return err
	}
	return y.update(ctx, func(s session) error {
		if err := gone(s, site); err != nil {
			return err
		}
		var n int
		if err := s.row("SELECT 1 FROM sites WHERE id = ? AND turn > 0 FOR UPDATE", []any{site}, &n); err != nil {
			return err
		}
		if still != nil {
			var here *Mark
			m, err := readMark(s, site, mark)
			switch {
			case err == nil:
				here = &m
			case !errors.Is(err, ErrNotFound):
				return err
			}
			if !still(here) {
				return ErrChanged
			}
		}
		if changed, err := do(s); err != nil || !changed {
			return err
		}
		return s.noted(site)
	})
}
