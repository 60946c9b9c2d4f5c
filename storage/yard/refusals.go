package yard

import (
	"context"
	"errors"
	"time"
)

// The bounds of refusals in the audit log. Those of one hour that are alike are one line,
// which counts them; when an hour has many lines, strangers and devices are no longer
// told apart. What did happen is never summed up, and is kept for good.
const (
	refusalLines = 50
	refusalLife  = 90 * 24 * time.Hour
)

// NoteRefusals adds times refusals to the audit log, each as e says. Entry.Address is ""
// where too many asked to tell them apart.
func (y *Yard) NoteRefusals(ctx context.Context, e Entry, times int64) error {
	at := y.now().UTC()
	hour := at.Truncate(time.Hour).Format(timeForm)
	e.Address, e.Action, e.Subject = plain(e.Address), plain(e.Action), plain(e.Subject)
	return y.update(ctx, func(s session) error {
		for range 2 {
			var line int64
			err := s.row(`SELECT number FROM audit WHERE hour = ? AND device = ? AND address = ? AND action = ? AND subject = ?
				ORDER BY number LIMIT 1`, []any{hour, e.Device, e.Address, e.Action, e.Subject}, &line)
			if err == nil {
				return s.exec("UPDATE audit SET times = times + ? WHERE number = ?", times, line)
			}
			if !errors.Is(err, ErrNotFound) {
				return err
			}
			lines := 0
			if err := s.row("SELECT COUNT(*) FROM audit WHERE hour = ?", []any{hour}, &lines); err != nil {
				return err
			}
			if lines < refusalLines {
				break
			}
			e.Device, e.Address, e.Subject = "", "", "" // and look whether there is a line for these
		}
		return s.exec("INSERT INTO audit (at, device, address, action, subject, hour, times) VALUES (?, ?, ?, ?, ?, ?, ?)",
			at.Format(timeForm), e.Device, e.Address, e.Action, e.Subject, hour, times)
	})
}

// dropRefusals lets go of refusals of long ago.
func (y *Yard) dropRefusals(s session) error {
	return s.exec("DELETE FROM audit WHERE hour <> '' AND hour < ?", y.now().Add(-refusalLife).UTC().Format(timeForm))
}
