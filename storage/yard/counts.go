package yard

import (
	"context"
	"time"
)

// Layout is the layout of databases that this program writes.
func Layout() int { return len(migrations) }

// Counts is what a yard holds, in figures.
type Counts struct {
	Sites, Revisions, Photos int64
	// WaitingPhotos are shown by a site and not here, or not whole.
	WaitingPhotos int64
	// WaitingRevisions lack what they came from.
	WaitingRevisions int64
	Devices          int64 // that may come in
	// QuietDevices may come in and did not for a day.
	QuietDevices int64
}

// Counts counts.
func (y *Yard) Counts(ctx context.Context) (Counts, error) {
	var c Counts
	err := y.view(ctx, func(s session) error {
		day := y.now().Add(-24 * time.Hour).UTC().Format(timeForm)
		for _, one := range []struct {
			to    *int64
			query string
			args  []any
		}{
			{&c.Sites, "SELECT COUNT(*) FROM sites WHERE turn > 0", nil},
			{&c.Revisions, "SELECT COUNT(*) FROM revisions WHERE turn > 0", nil},
			// The index has turn, and not waiting, which says the same.
			{&c.WaitingRevisions, "SELECT COUNT(*) FROM revisions WHERE turn = 0", nil},
			{&c.Photos, "SELECT COUNT(*) FROM photos WHERE " + whole, nil},
			{&c.WaitingPhotos, `SELECT COUNT(DISTINCT u.photo) FROM site_photos u LEFT JOIN photos p ON p.id = u.photo
				WHERE p.id IS NULL OR p.complete = 0 AND p.stored < 1`, nil},
			{&c.Devices, "SELECT COUNT(*) FROM devices WHERE withdrawn = ''", nil},
			{&c.QuietDevices, "SELECT COUNT(*) FROM devices WHERE withdrawn = '' AND seen < ?", []any{day}},
		} {
			if err := s.row(one.query, one.args, one.to); err != nil {
				return err
			}
		}
		return nil
	})
	return c, err
}
