package yard

import (
	"context"
	"time"

	"pegpour/engine/refusal"
	"pegpour/storage"
)

// The limits of revisions whose parents did not come. Nobody sees them, so they are few,
// of a site and of a device, and they are let go after a time, which the answer tells.
// The device that sent one has it still, and sends it as a beginning as soon as it is told
// that something is missing.
const (
	MaxWaiting         = 64       // of a site
	MaxWaitingOfDevice = 256      // of all sites
	MaxWaitingBytes    = 64 << 20 // of a device, on all sites
	WaitingLife        = 14 * 24 * time.Hour
)

// WaitingError refuses a revision whose parents are not here, where too many of its
// site or of its device wait already: it is to be sent as a beginning.
type WaitingError struct {
	// Device: it is the device of which too many wait.
	Device bool
}

// Error says what to do.
func (e *WaitingError) Error() string { return e.Refusal().String() }

// Refusal is the sentence.
func (e *WaitingError) Refusal() refusal.Message {
	if e.Device {
		return refusal.Say("too much of this device waits for what it came from: send this one as a beginning")
	}
	return refusal.Say("{0} versions of this site wait for what they came from: send this one as a beginning",
		refusal.Count(MaxWaiting))
}

// checkWaiting refuses one more waiting revision than allowed.
func checkWaiting(s session, device, site string) error {
	n := 0
	if err := s.row("SELECT COUNT(*) FROM revisions WHERE site = ? AND waiting = 1", []any{site}, &n); err != nil {
		return err
	}
	if n > MaxWaiting {
		return &WaitingError{}
	}
	var bytes int64
	if err := s.row("SELECT COUNT(*), COALESCE(SUM(LENGTH(text)), 0) FROM revisions WHERE device = ? AND waiting = 1",
		[]any{device}, &n, &bytes); err != nil {
		return err
	}
	if n > MaxWaitingOfDevice || bytes > MaxWaitingBytes {
		return &WaitingError{Device: true}
	}
	return nil
}

// waitingUntil is when a revision that waits is let go.
func waitingUntil(s session, name storage.Revision) (string, error) {
	var received string
	if err := s.row("SELECT received FROM revisions WHERE name = ?", []any{string(name)}, &received); err != nil {
		return "", err
	}
	at, err := time.Parse(timeForm, received)
	return at.Add(WaitingLife).Format(timeForm), err
}

// dropWaiting lets go of the revisions that waited too long, and says how many.
func (y *Yard) dropWaiting(ctx context.Context) (n int, err error) {
	limit := y.now().Add(-WaitingLife).UTC().Format(timeForm)
	var sites []string
	err = y.view(ctx, func(s session) error {
		sites, err = s.texts("SELECT DISTINCT site FROM revisions WHERE waiting = 1 AND received <= ? ORDER BY site", limit)
		return err
	})
	for _, site := range sites {
		if err != nil {
			break
		}
		gone := 0
		err = y.update(ctx, func(s session) error {
			if err := y.lockSite(s, site); err != nil {
				return err
			}
			old, err := s.texts("SELECT name FROM revisions WHERE site = ? AND waiting = 1 AND received <= ?", site, limit)
			if err != nil {
				return err
			}
			gone = len(old)
			return y.dropRevisions(s, site, old)
		})
		n += gone
	}
	return n, err
}

// dropRevisions takes waiting revisions out of a site, and the site if nothing is left.
func (y *Yard) dropRevisions(s session, site string, names []string) error {
	for _, name := range names {
		for _, q := range []string{"DELETE FROM parents WHERE child = ?", "DELETE FROM revisions WHERE name = ?"} {
			if err := s.exec(q, name); err != nil {
				return err
			}
		}
	}
	if _, err := y.refer(s, site); err != nil {
		return err
	}
	left, err := s.texts("SELECT name FROM revisions WHERE site = ? LIMIT 1", site)
	if err != nil || len(left) > 0 {
		return err
	}
	return s.exec("DELETE FROM sites WHERE id = ?", site)
}
