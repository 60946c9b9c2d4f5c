package yard

import (
	"context"
	"errors"
	"io"
	"time"
)

// MovePhotos puts the photos that are whole in the database into the store, one by one,
// until none is left, the context ends, or something fails; done again it goes on where
// it stopped. Each can be read at all times. A photo whose pieces are damaged is noted as
// such. Without a store it does nothing. Errors: *StoreError, the database's.
func (y *Yard) MovePhotos(ctx context.Context) (moved int, err error) {
	if y.objects == nil {
		return 0, nil
	}
	for after := ""; ; {
		var p photo
		err := y.view(ctx, func(s session) error {
			var id string
			err := s.row("SELECT id FROM photos WHERE complete = 1 AND stored >= 0 AND id > ? ORDER BY id LIMIT 1",
				[]any{after}, &id)
			if err == nil {
				p, err = readPhoto(s, id, "")
			}
			return err
		})
		if errors.Is(err, ErrNotFound) {
			return moved, nil
		}
		if err != nil {
			return moved, err
		}
		after = p.ID
		var damaged *DigestError
		switch err := y.movePhoto(ctx, p); {
		case errors.As(err, &damaged):
			if err := y.photoDamaged(ctx, p.ID, false); err != nil {
				return moved, err
			}
		case err != nil:
			return moved, err
		default:
			moved++
		}
	}
}

func (y *Yard) movePhoto(ctx context.Context, p photo) error {
	o, err := y.store(ctx)
	if err != nil {
		return err
	}
	if err := y.fault("move"); err != nil {
		return err
	}
	blocks, err := o.put(ctx, p.ID, p.Size, func(w io.Writer) error {
		_, err := io.Copy(w, &pieceReader{y: y, ctx: ctx, id: p.ID, end: p.Size})
		return err
	})
	if err != nil {
		return err
	}
	if err := y.fault("moved"); err != nil {
		return err
	}
	return y.update(ctx, func(s session) error {
		n, err := s.changed("UPDATE photos SET stored = 1, complete = 0, have = 0 WHERE id = ? AND complete = 1 AND stored >= 0",
			p.ID)
		if err != nil || n == 0 { // it was let go meanwhile
			return err
		}
		if err := s.exec("DELETE FROM pieces WHERE photo = ?", p.ID); err != nil {
			return err
		}
		return keepHashes(s, p.ID, blocks)
	})
}

// letObjectsGo removes from the store what photos left behind that were let go. Their
// rows stay until then, so that what comes of them meanwhile waits.
func (y *Yard) letObjectsGo(ctx context.Context) error {
	var ids []string
	err := y.view(ctx, func(s session) error {
		var err error
		ids, err = s.texts("SELECT id FROM photos WHERE stored < 0 ORDER BY id")
		return err
	})
	if err != nil || len(ids) == 0 {
		return err
	}
	o, err := y.store(ctx)
	if err != nil {
		return err
	}
	for _, id := range ids {
		if err := o.remove(ctx, id); err != nil {
			return err
		}
		err := y.update(ctx, func(s session) error {
			n, err := s.changed("DELETE FROM photos WHERE id = ? AND stored < 0 AND complete = 0 AND have = 0", id)
			if err != nil || n > 0 {
				return err
			}
			return s.exec("UPDATE photos SET stored = 0 WHERE id = ? AND stored < 0", id) // an older server took it anew
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// strayAfter is how old what stands in the store must be before it counts as left behind.
const strayAfter = time.Hour

// SweepStore removes from the store what belongs to no photo: of a server that was
// killed, of an older server, of a restoring that broke off. Errors: *StoreError, the
// database's.
func (y *Yard) SweepStore(ctx context.Context) (removed int, err error) {
	if y.objects == nil {
		return 0, nil
	}
	o, err := y.store(ctx)
	if err != nil {
		return 0, err
	}
	limit := time.Now().Add(-strayAfter) // the store's clock, which is nearer to the machine's than to the yard's
	all := o.bucket.List(nil)
	for {
		at, err := all.Next(ctx)
		if errors.Is(err, io.EOF) {
			return removed, y.letObjectsGo(ctx)
		}
		if err != nil {
			return removed, &StoreError{err}
		}
		if at.Key == markKey || at.IsDir || at.ModTime.After(limit) {
			continue
		}
		if !IsHash(at.Key) { // a file that was being written
			if err := o.remove(ctx, at.Key); err != nil {
				return removed, err
			}
			removed++
			continue
		}
		// A photo that comes at the same moment has its row first, so that it is left alone.
		err = y.update(ctx, func(s session) error {
			n, err := s.changed(`INSERT INTO photos (id, type, size, have, complete, width, height, received, device, stored)
				VALUES (?, '', 0, 0, 0, 0, 0, ?, '', -1) ON CONFLICT (id) DO NOTHING`, at.Key, y.time())
			removed += int(n)
			return err
		})
		if err != nil {
			return removed, err
		}
	}
}
