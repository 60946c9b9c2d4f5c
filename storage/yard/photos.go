package yard

import (
	"bytes"
	"context"
	"errors"
	"io"
	"time"

	"pegpour/engine/refusal"
	"pegpour/storage/yard/picture"
)

// MaxPieceBytes is the greatest length of one piece of a photo.
const MaxPieceBytes = 1 << 20

// PhotoState says how much of a photo is here.
type PhotoState struct {
	ID       string
	Type     string
	Size     int64
	Have     int64
	Complete bool
	Width    int
	Height   int
}

// OffsetError says that a piece does not follow on what is here.
type OffsetError struct{ Have int64 }

// Error says where to go on.
func (e *OffsetError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *OffsetError) Refusal() refusal.Message {
	return refusal.Say("{0} bytes of the photo are here: go on from there", refusal.Number(float64(e.Have), ""))
}

// DigestError says that a photo's bytes are not those of its name; they were
// thrown away.
type DigestError struct{}

// Error says what to do.
func (e *DigestError) Error() string { return e.Refusal().String() }

// Refusal is the sentence.
func (e *DigestError) Refusal() refusal.Message {
	return refusal.Say("the bytes do not have the SHA-256 they are named by: send the photo anew")
}

// DamagedError says that what is kept is not what was sent. It is noted, so that a device
// that has it sends it again.
type DamagedError struct{}

// Error says so.
func (e *DamagedError) Error() string { return e.Refusal().String() }

// Refusal is the sentence.
func (e *DamagedError) Refusal() refusal.Message {
	return refusal.Say("this was damaged in the yard; a device that has it will send it again")
}

// whole is the condition for a photo that is here, in pieces or in the store.
const whole = "(photos.complete = 1 OR photos.stored = 1)"

// photo is a row of the table.
type photo struct {
	PhotoState
	pieces bool // whole in pieces
	stored int  // 1 in the store, -1 being removed from it
}

// Photo says how much of a photo is here. Errors: ErrNotFound, also for one that
// only deleted sites show.
func (y *Yard) Photo(ctx context.Context, id string) (PhotoState, error) {
	p, err := y.shownPhoto(ctx, id)
	return p.PhotoState, err
}

func (y *Yard) shownPhoto(ctx context.Context, id string) (photo, error) {
	var p photo
	err := y.view(ctx, func(s session) error {
		var err error
		if p, err = readPhoto(s, id, ""); err != nil {
			return err
		}
		away, err := hidden(s, id)
		if err == nil && (away || p.stored < 0 && p.Have == 0) {
			err = ErrNotFound
		}
		return err
	})
	return p, err
}

func readPhoto(s session, id, lock string) (photo, error) {
	p := photo{PhotoState: PhotoState{ID: id}}
	complete := 0
	err := s.row("SELECT type, size, have, complete, width, height, stored FROM photos WHERE id = ?"+lock, []any{id},
		&p.Type, &p.Size, &p.Have, &complete, &p.Width, &p.Height, &p.stored)
	p.pieces = complete != 0
	if p.Complete = p.pieces || p.stored > 0; p.Complete {
		p.Have = p.Size
	}
	return p, err
}

// SitePhotos lists the photos of a site's newest versions that are whole here. Errors:
// *GoneError.
func (y *Yard) SitePhotos(ctx context.Context, site string) ([]string, error) {
	var ids []string
	err := y.view(ctx, func(s session) error {
		err := gone(s, site)
		if err == nil {
			ids, err = s.texts("SELECT photo FROM site_photos JOIN photos ON photos.id = photo WHERE site = ? AND "+whole+
				" ORDER BY photo", site)
		}
		return err
	})
	return ids, err
}

// PhotoBytes returns the bytes of a whole photo, all at once. Errors: those of OpenPhoto.
func (y *Yard) PhotoBytes(ctx context.Context, id string) (PhotoState, []byte, error) {
	r, err := y.OpenPhoto(ctx, id)
	if err != nil {
		return PhotoState{}, nil, err
	}
	defer r.Close()
	data := make([]byte, r.Size)
	_, err = io.ReadFull(r, data)
	return r.PhotoState, data, err
}

// PutPiece adds a piece of a photo of size bytes, which begins at start, and
// says how much is here then. A piece that is here already changes nothing.
// With the last piece the photo is checked and stored; as long as that fails, the last
// piece counts as not sent. Errors: *OffsetError, *ClaimError, *QuotaError, *StoreError,
// *DigestError and *InvalidError; after the last two nothing of the photo is here.
func (y *Yard) PutPiece(ctx context.Context, device, id string, start, size int64, piece []byte) (PhotoState, error) {
	end := start + int64(len(piece))
	switch {
	case !IsHash(id):
		return PhotoState{}, invalid("a photo is named by the SHA-256 of its bytes")
	case size < 1 || size > MaxPhotoBytes:
		return PhotoState{}, invalid("a photo has 1 to {0} bytes", refusal.Count(MaxPhotoBytes))
	case len(piece) < 1 || len(piece) > MaxPieceBytes || start < 0 || end > size:
		return PhotoState{}, invalid("a piece has 1 to {0} bytes and lies within the photo", refusal.Count(MaxPieceBytes))
	}
	begun, err := y.roomForPhoto(ctx, device, id, start, size)
	if err != nil {
		return PhotoState{}, err
	}
	var p photo
	last := false
	err = y.update(ctx, func(s session) error {
		last = false
		err := s.exec(`INSERT INTO photos (id, type, size, have, complete, width, height, received, device)
			VALUES (?, '', ?, 0, 0, 0, 0, ?, ?) ON CONFLICT (id) DO NOTHING`, id, size, y.time(), device)
		if err != nil {
			return err
		}
		if p, err = readPhoto(s, id, " FOR UPDATE"); err != nil || p.Complete {
			return err
		}
		if p.stored < 0 {
			return &StoreError{errBeingLet}
		}
		if err := y.claim(s, &p.PhotoState, device, size, start); err != nil {
			return err
		}
		if end <= p.Have {
			return nil
		}
		if start != p.Have {
			return &OffsetError{p.Have}
		}
		if last = end == size; last { // it is put down with the whole
			return s.exec("UPDATE photos SET size = ?, have = ? WHERE id = ?", p.Size, p.Have, id)
		}
		if err := s.exec("INSERT INTO pieces (photo, start, bytes) VALUES (?, ?, ?)", id, start, piece); err != nil {
			return err
		}
		p.Have = end
		return s.exec("UPDATE photos SET size = ?, have = ? WHERE id = ?", p.Size, p.Have, id)
	})
	if err == nil && begun && !last {
		y.quota.took(device, used{bytes: size})
	}
	if err != nil || !last {
		return p.PhotoState, err
	}
	state, err := y.finish(ctx, p, start, piece)
	if err == nil && begun {
		y.quota.took(device, used{bytes: size})
	}
	return state, err
}

// finish checks a photo of which the last piece came, and stores it. One that is refused
// is taken out again. The photo is never whole in memory.
func (y *Yard) finish(ctx context.Context, p photo, start int64, last []byte) (PhotoState, error) {
	fill := func(w io.Writer) error {
		n, err := io.Copy(w, &pieceReader{y: y, ctx: ctx, id: p.ID, end: start})
		if err == nil && n != start {
			err = &OffsetError{n} // somebody began it anew meanwhile
		}
		if err == nil {
			_, err = w.Write(last)
		}
		return err
	}
	var h hasher
	err := fill(&h)
	if err == nil && h.name() != p.ID {
		err = &DigestError{}
	}
	if err == nil {
		p.Type, p.Width, p.Height, err = checkPhoto(p.Size, func() io.Reader {
			return io.MultiReader(&pieceReader{y: y, ctx: ctx, id: p.ID, end: start}, bytes.NewReader(last))
		})
	}
	blocks, stored := h.blocks(), 0
	if err == nil && y.objects != nil {
		var o *objects
		if o, err = y.store(ctx); err == nil {
			blocks, err = o.put(ctx, p.ID, p.Size, fill)
			stored = 1
		}
	}
	var digest *DigestError
	var bad *InvalidError
	if errors.As(err, &digest) || errors.As(err, &bad) {
		return p.PhotoState, errors.Join(y.update(ctx, func(s session) error {
			if n, err := s.changed("DELETE FROM photos WHERE id = ? AND complete = 0 AND stored = 0 AND have = ?", p.ID,
				start); err != nil || n == 0 {
				return err
			}
			return s.exec("DELETE FROM pieces WHERE photo = ?", p.ID)
		}), err)
	}
	if err != nil {
		return p.PhotoState, err
	}
	err = y.update(ctx, func(s session) error {
		now, err := readPhoto(s, p.ID, " FOR UPDATE")
		switch {
		case errors.Is(err, ErrNotFound):
			return &OffsetError{0} // it was purged meanwhile
		case err != nil || now.Complete:
			return err
		case now.stored < 0:
			return &StoreError{errBeingLet}
		case now.Have != start || now.Size != p.Size:
			return &OffsetError{now.Have}
		}
		if stored == 0 {
			err = s.exec("INSERT INTO pieces (photo, start, bytes) VALUES (?, ?, ?)", p.ID, start, last)
		} else {
			err = s.exec("DELETE FROM pieces WHERE photo = ?", p.ID)
		}
		if err == nil {
			err = keepHashes(s, p.ID, blocks)
		}
		if err != nil {
			return err
		}
		return s.exec(`UPDATE photos SET type = ?, have = ?, complete = ?, stored = ?, width = ?, height = ?, damaged = ''
			WHERE id = ?`, p.Type, p.Size*int64(1-stored), 1-stored, stored, p.Width, p.Height, p.ID)
	})
	if err == nil {
		p.Have, p.Complete = p.Size, true
	}
	return p.PhotoState, err
}

func keepHashes(s session, id string, blocks []byte) error {
	return s.exec("INSERT INTO photo_hashes (photo, blocks) VALUES (?, ?) ON CONFLICT (photo) DO UPDATE SET blocks = excluded.blocks",
		id, blocks)
}

// pieceReader reads the pieces of a photo from at to end, one in memory.
type pieceReader struct {
	y       *Yard
	ctx     context.Context
	id      string
	at, end int64
	piece   []byte
}

func (r *pieceReader) Read(to []byte) (int, error) {
	if r.at >= r.end {
		return 0, io.EOF
	}
	if len(r.piece) == 0 {
		var start int64
		err := r.y.view(r.ctx, func(s session) error {
			return s.row("SELECT start, bytes FROM pieces WHERE photo = ? AND start <= ? ORDER BY start DESC LIMIT 1",
				[]any{r.id, r.at}, &start, &r.piece)
		})
		if errors.Is(err, ErrNotFound) || err == nil && r.at >= start+int64(len(r.piece)) {
			return 0, io.EOF
		}
		if err != nil {
			return 0, err
		}
		r.piece = r.piece[r.at-start:]
	}
	n := copy(to, r.piece[:min(int64(len(r.piece)), r.end-r.at)])
	r.piece = r.piece[n:]
	r.at += int64(n)
	return n, nil
}

// MaxPhotoBytes is the most that one photo may have.
const MaxPhotoBytes = picture.MaxBytes

// CheckPhoto is picture.Check for bytes. Errors: *InvalidError.
func CheckPhoto(data []byte) (mediaType string, width, height int, err error) {
	return checkPhoto(int64(len(data)), func() io.Reader { return bytes.NewReader(data) })
}

func checkPhoto(size int64, open func() io.Reader) (mediaType string, width, height int, err error) {
	mediaType, width, height, err = picture.Check(size, open)
	var bad *picture.Error
	if errors.As(err, &bad) {
		err = &InvalidError{bad.Reason}
	}
	return mediaType, width, height, err
}

// claimLife is how long a photo that a device began to send is its own, counted from the
// last piece.
const claimLife = time.Hour

// ClaimError refuses a piece of a photo that another device sends with another size. One
// of the two is wrong, which shows when all is here or when no more of it comes.
type ClaimError struct{}

// Error says what to do.
func (e *ClaimError) Error() string { return e.Refusal().String() }

// Refusal is the sentence.
func (e *ClaimError) Refusal() refusal.Message {
	return refusal.Say("another device is sending this photo with another size: try again in an hour")
}

// claim holds the size that a device gives for a photo that is not whole against what it
// was begun with. Another size begins it anew for the device that began it, and for others
// when nothing came for claimLife; p says then that nothing is here. Errors: *OffsetError,
// *ClaimError.
func (y *Yard) claim(s session, p *PhotoState, device string, size, start int64) error {
	now := y.time()
	if p.Size == size {
		return s.exec("UPDATE photos SET received = ? WHERE id = ?", now, p.ID)
	}
	var by, last string
	if err := s.row("SELECT device, received FROM photos WHERE id = ?", []any{p.ID}, &by, &last); err != nil {
		return err
	}
	at, bad := time.Parse(timeForm, last)
	since := y.now().Sub(at)
	if by != device && bad == nil && since < claimLife && since > -claimLife {
		return &ClaimError{}
	}
	if start != 0 {
		return &OffsetError{0}
	}
	p.Size, p.Have = size, 0
	if err := s.exec("DELETE FROM pieces WHERE photo = ?", p.ID); err != nil {
		return err
	}
	return s.exec("UPDATE photos SET size = ?, have = 0, device = ?, received = ? WHERE id = ?", size, device, now, p.ID)
}
