package yard

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"io"
	"time"

	"gocloud.dev/blob"
	"gocloud.dev/gcerrors"
)

// PhotoReader reads a photo, or a part of it. No byte is given that is not what was sent:
// each block is held against its hash first. One block is in memory. Errors of reading:
// *DamagedError, *StoreError, the database's.
type PhotoReader struct {
	PhotoState
	y      *Yard
	ctx    context.Context
	stored bool
	hashes []byte

	at    int64
	block []byte // that begins at from
	from  int64

	ahead  int64 // blocks that the next stream asks for
	stream io.ReadCloser
	next   int64 // where the stream stands
	end    int64 // and ends
	done   context.CancelFunc
}

// OpenPhoto opens a whole photo. The first time that a photo of before its hashes were
// kept is opened, it is read once through. Errors: ErrNotFound, *DamagedError,
// *StoreError.
func (y *Yard) OpenPhoto(ctx context.Context, id string) (*PhotoReader, error) {
	p, err := y.shownPhoto(ctx, id)
	if err == nil && !p.Complete {
		err = ErrNotFound
	}
	if err != nil {
		return nil, err
	}
	return y.readerOf(ctx, p)
}

func (y *Yard) readerOf(ctx context.Context, p photo) (*PhotoReader, error) {
	r := &PhotoReader{PhotoState: p.PhotoState, y: y, ctx: ctx, stored: p.stored > 0}
	err := y.view(ctx, func(s session) error {
		return s.row("SELECT blocks FROM photo_hashes WHERE photo = ?", []any{p.ID}, &r.hashes)
	})
	if errors.Is(err, ErrNotFound) || err == nil && int64(len(r.hashes)) != (p.Size+blockBytes-1)/blockBytes*sha256.Size {
		err = r.findHashes()
	}
	if err != nil {
		_ = r.Close()
		return nil, err
	}
	return r, nil
}

// Check reads what stands at a place, so that what is damaged or not to be had there is
// found before anything is answered.
func (r *PhotoReader) Check(at int64) error {
	if at < 0 || at >= r.Size {
		return nil
	}
	_, err := r.load(at / blockBytes * blockBytes)
	return err
}

// findHashes reads the photo once through.
func (r *PhotoReader) findHashes() error {
	var h hasher
	buffer := make([]byte, blockBytes)
	for at := int64(0); at < r.Size; {
		n, err := r.raw(buffer[:min(blockBytes, r.Size-at)], at)
		if err != nil {
			return err
		}
		_, _ = h.Write(buffer[:n])
		at += int64(n)
	}
	if h.name() != r.ID {
		return r.damaged()
	}
	r.hashes = h.blocks()
	// That it cannot be noted, as on a full disk, keeps nobody from reading.
	_ = r.y.update(r.ctx, func(s session) error { return keepHashes(s, r.ID, r.hashes) })
	return nil
}

// damaged notes that the photo is.
func (r *PhotoReader) damaged() error {
	if err := r.y.photoDamaged(r.ctx, r.ID, r.stored); err != nil {
		return err
	}
	return &DamagedError{}
}

// Read implements io.Reader.
func (r *PhotoReader) Read(to []byte) (int, error) {
	if r.at >= r.Size {
		return 0, io.EOF
	}
	block, err := r.load(r.at / blockBytes * blockBytes)
	if err != nil {
		return 0, err
	}
	n := copy(to, block[r.at-r.from:])
	r.at += int64(n)
	return n, nil
}

// Seek implements io.Seeker.
func (r *PhotoReader) Seek(offset int64, from int) (int64, error) {
	switch from {
	case io.SeekCurrent:
		offset += r.at
	case io.SeekEnd:
		offset += r.Size
	}
	if offset < 0 {
		return 0, errors.New("before the beginning")
	}
	r.at = offset
	return offset, nil
}

// Close lets go of the store.
func (r *PhotoReader) Close() error {
	if r.stream == nil {
		return nil
	}
	err := r.stream.Close()
	r.done()
	r.stream = nil
	return err
}

// load returns the block that begins at from, checked.
func (r *PhotoReader) load(from int64) ([]byte, error) {
	if r.block != nil && r.from == from {
		return r.block, nil
	}
	n := min(blockBytes, r.Size-from)
	if int64(cap(r.block)) < n {
		r.block = make([]byte, n)
	}
	r.block, r.from = r.block[:n], -1
	want := r.hashes[from/blockBytes*sha256.Size:][:sha256.Size]
	for again := false; ; again = true {
		if _, err := r.raw(r.block, from); err != nil {
			return nil, err
		}
		if sum := sha256.Sum256(r.block); bytes.Equal(sum[:], want) {
			r.from = from
			return r.block, nil
		}
		if again { // else it may have been damaged on its way
			return nil, r.damaged()
		}
		_ = r.Close()
	}
}

// raw fills to with what is kept at a place.
func (r *PhotoReader) raw(to []byte, at int64) (int, error) {
	for again := false; ; again = true {
		n, err := r.rawOnce(to, at)
		if err == nil {
			return n, nil
		}
		_ = r.Close()
		if !errors.Is(err, errGone) {
			return 0, err
		}
		// It was moved into the store meanwhile, or it is lost.
		var p photo
		err = r.y.view(r.ctx, func(s session) error {
			p, err = readPhoto(s, r.ID, "")
			return err
		})
		if err == nil && !p.Complete {
			err = ErrNotFound
		}
		if err != nil {
			return 0, err
		}
		if again || r.stored == (p.stored > 0) {
			return 0, r.damaged()
		}
		r.stored = p.stored > 0
	}
}

// errGone: the bytes are not where they should be.
var errGone = errors.New("not there")

func (r *PhotoReader) rawOnce(to []byte, at int64) (int, error) {
	if !r.stored {
		n, err := io.ReadFull(&pieceReader{y: r.y, ctx: r.ctx, id: r.ID, at: at, end: at + int64(len(to))}, to)
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			err = errGone
		}
		return n, err
	}
	o, err := r.y.store(r.ctx)
	if err != nil {
		return 0, err
	}
	if r.stream != nil && (r.next != at || r.next >= r.end) {
		if r.next == at {
			r.ahead = min(4*r.ahead, maxAhead) // it is read on and on
		} else {
			r.ahead = 1
		}
		_ = r.Close()
	}
	if r.stream == nil {
		if r.ahead == 0 {
			r.ahead = 1
		}
		length := min(max(r.ahead*blockBytes, int64(len(to))), r.Size-at)
		patient, done := context.WithCancel(r.ctx)
		waiting := time.AfterFunc(o.patience, done)
		err := o.faults("read")
		var stream *blob.Reader
		if err == nil {
			stream, err = o.bucket.NewRangeReader(patient, r.ID, at, length, nil)
		}
		waiting.Stop()
		if err != nil {
			done()
			return 0, storeError(err)
		}
		r.stream, r.next, r.end, r.done = stream, at, at+length, done
	}
	waiting := time.AfterFunc(o.patience, r.done)
	n, err := io.ReadFull(r.stream, to)
	waiting.Stop()
	r.next += int64(n)
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return n, errGone // it is shorter than it was
	}
	if err != nil {
		return n, storeError(err)
	}
	return n, nil
}

// maxAhead is how many blocks are asked for at once at most.
const maxAhead = 64

func storeError(err error) error {
	if gcerrors.Code(err) == gcerrors.NotFound {
		return errGone
	}
	return &StoreError{err}
}

// photoDamaged notes that a photo is not what was sent: it counts as not here, and the
// sites that show it are in the changes, so that a device that has it sends it again.
func (y *Yard) photoDamaged(ctx context.Context, id string, stored bool) error {
	return y.update(context.WithoutCancel(ctx), func(s session) error {
		p, err := readPhoto(s, id, " FOR UPDATE")
		if errors.Is(err, ErrNotFound) || err == nil && (!p.Complete || stored != (p.stored > 0)) {
			return nil // it went, was noted already, or came anew
		}
		if err != nil {
			return err
		}
		if stored && p.pieces { // it is whole in pieces too
			return s.exec("UPDATE photos SET stored = 0 WHERE id = ?", id)
		}
		for _, q := range []string{"DELETE FROM pieces WHERE photo = ?", "DELETE FROM photo_hashes WHERE photo = ?"} {
			if err := s.exec(q, id); err != nil {
				return err
			}
		}
		if err := s.exec("UPDATE photos SET complete = 0, stored = 0, have = 0, damaged = ? WHERE id = ?", y.time(),
			id); err != nil {
			return err
		}
		sites, err := s.texts("SELECT site FROM site_photos JOIN sites ON sites.id = site WHERE photo = ? AND sites.turn > 0 ORDER BY site",
			id)
		if err != nil {
			return err
		}
		return s.noted(sites...)
	})
}

// noted puts sites into the changes for what is not a revision: a mark, something lost.
func (s session) noted(sites ...string) error {
	for _, site := range sites {
		turn, err := s.turn()
		if err == nil {
			err = s.exec("UPDATE sites SET noted = ? WHERE id = ?", turn, site)
		}
		if err != nil {
			return err
		}
	}
	return nil
}
