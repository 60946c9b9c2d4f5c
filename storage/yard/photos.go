package yard

import (
	"context"

	"pegpour/engine/refusal"
	"pegpour/storage"
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

// Photo says how much of a photo is here. Errors: ErrNotFound, also for one that
// only deleted sites show.
func (y *Yard) Photo(ctx context.Context, id string) (PhotoState, error) {
	var p PhotoState
	err := y.view(ctx, func(s session) error {
		var err error
		p, err = shownPhoto(s, id)
		return err
	})
	return p, err
}

func shownPhoto(s session, id string) (PhotoState, error) {
	p, err := readPhoto(s, id, "")
	if err == nil {
		var away bool
		if away, err = hidden(s, id); away {
			err = ErrNotFound
		}
	}
	return p, err
}

func readPhoto(s session, id, lock string) (PhotoState, error) {
	p := PhotoState{ID: id}
	complete := 0
	err := s.row("SELECT type, size, have, complete, width, height FROM photos WHERE id = ?"+lock, []any{id},
		&p.Type, &p.Size, &p.Have, &complete, &p.Width, &p.Height)
	p.Complete = complete != 0
	return p, err
}

// PhotoBytes returns the bytes of a complete photo. Errors as with Photo.
func (y *Yard) PhotoBytes(ctx context.Context, id string) (PhotoState, []byte, error) {
	var p PhotoState
	var data []byte
	err := y.view(ctx, func(s session) error {
		var err error
		if p, err = shownPhoto(s, id); err != nil {
			return err
		}
		if !p.Complete {
			return ErrNotFound
		}
		data, err = pieces(s, id, p.Size)
		return err
	})
	return p, data, err
}

func pieces(s session, id string, size int64) ([]byte, error) {
	data := make([]byte, 0, size)
	err := s.rows("SELECT bytes FROM pieces WHERE photo = ? ORDER BY start", []any{id},
		func(scan func(...any) error) error {
			var b []byte
			err := scan(&b)
			data = append(data, b...)
			return err
		})
	return data, err
}

// PutPiece adds a piece of a photo of size bytes, which begins at start, and
// says how much is here then. A piece that is here already changes nothing.
// With the last piece the photo is checked. Errors: *OffsetError, *DigestError
// and *InvalidError; after the last two nothing of the photo is here.
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
	var p PhotoState
	var refused error
	err := y.update(ctx, func(s session) error {
		refused = nil
		err := s.exec(`INSERT INTO photos (id, type, size, have, complete, width, height, received, device)
			VALUES (?, '', ?, 0, 0, 0, 0, ?, ?) ON CONFLICT (id) DO NOTHING`, id, size, y.time(), device)
		if err != nil {
			return err
		}
		if p, err = readPhoto(s, id, " FOR UPDATE"); err != nil || p.Complete {
			return err
		}
		if p.Size != size { // one of two claims is wrong: begin anew with this one
			if p.Size, p.Have = size, 0; start != 0 {
				return &OffsetError{0}
			}
			if err := s.exec("DELETE FROM pieces WHERE photo = ?", id); err != nil {
				return err
			}
		}
		if end <= p.Have {
			return nil
		}
		if start != p.Have {
			return &OffsetError{p.Have}
		}
		if err := s.exec("INSERT INTO pieces (photo, start, bytes) VALUES (?, ?, ?)", id, start, piece); err != nil {
			return err
		}
		p.Have = end
		if end == size {
			if refused, err = finish(s, &p); err != nil || refused != nil {
				return err
			}
		}
		complete := 0
		if p.Complete {
			complete = 1
		}
		return s.exec("UPDATE photos SET type = ?, size = ?, have = ?, complete = ?, width = ?, height = ? WHERE id = ?",
			p.Type, p.Size, p.Have, complete, p.Width, p.Height, id)
	})
	if err == nil {
		err = refused
	}
	return p, err
}

// finish checks a whole photo. One that is refused is taken out again.
func finish(s session, p *PhotoState) (refused, err error) {
	data, err := pieces(s, p.ID, p.Size)
	if err != nil {
		return nil, err
	}
	if storage.PhotoID(data) != p.ID {
		refused = &DigestError{}
	} else {
		p.Type, p.Width, p.Height, refused = CheckPhoto(data)
	}
	if refused == nil {
		p.Complete = true
		return nil, nil
	}
	if err := s.exec("DELETE FROM pieces WHERE photo = ?", p.ID); err != nil {
		return nil, err
	}
	return refused, s.exec("DELETE FROM photos WHERE id = ?", p.ID)
}
