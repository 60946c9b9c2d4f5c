package yard

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/google/uuid"
	"gocloud.dev/blob"
	"gocloud.dev/blob/fileblob"
	_ "gocloud.dev/blob/s3blob" // addresses s3://
	"gocloud.dev/gcerrors"
)

// PhotosFolder is where the photos of a yard in a folder are, unless Options.Photos says
// otherwise: a file for each, named by the SHA-256 of its bytes.
const PhotosFolder = "photos"

// markKey names the object that says whose store it is.
const markKey = "yard"

// StoreError: the store of photos does not answer, or does not do what it is asked.
// Nothing is kept of what was to be stored, and nothing is lost.
type StoreError struct{ Cause error }

// Error says what failed.
func (e *StoreError) Error() string { return "the store of photos: " + e.Cause.Error() }

// Unwrap returns the cause.
func (e *StoreError) Unwrap() error { return e.Cause }

var (
	errNoStore     = errors.New("the photos of this yard are in a store, and it is not said which")
	errOtherStore  = errors.New("it belongs to another yard: each has a store, or a prefix in it, of its own")
	errEmptyStore  = errors.New("it is not the one that this yard put its photos into: it lacks the yard's mark")
	errWrongBytes  = errors.New("it gave back other bytes than it was given")
	errBeingLet    = errors.New("this photo is just being removed")
	errStoreAbsent = &StoreError{errNoStore}
)

// objects is the store of photos: an object for each, named by the SHA-256 of its bytes.
// It is opened, and asked whose it is, when it is first needed.
type objects struct {
	open     func(context.Context) (*blob.Bucket, error)
	folder   string // that the objects are files of, "" for others
	durable  bool
	patience time.Duration
	writing  chan struct{}
	faults   func(point string) error

	mu     sync.Mutex
	bucket *blob.Bucket
	ours   bool
}

const (
	// patience is how long the store may take for one call.
	patience = time.Minute
	// writesAtOnce bounds the memory that writing takes.
	writesAtOnce = 4
	// partBytes is the length of the parts in which a large photo goes to a store that
	// wants its length first.
	partBytes = 8 << 20
)

// objectsOf finds the store of a yard; nil: photos stay in the database.
func objectsOf(where string, o Options) (*objects, error) {
	s := &objects{durable: !o.NotDurable, patience: o.Patience, writing: make(chan struct{}, writesAtOnce)}
	if s.patience == 0 {
		s.patience = patience
	}
	if s.faults = o.StoreFault; s.faults == nil {
		s.faults = func(string) error { return nil }
	}
	switch {
	case o.Bucket != nil:
		s.open = func(context.Context) (*blob.Bucket, error) { return o.Bucket(), nil }
		return s, nil
	case o.Photos != "":
		u, err := url.Parse(o.Photos)
		if err != nil || u.Scheme != "s3" && u.Scheme != "file" {
			return nil, fmt.Errorf("%q is no store of photos: s3://bucket?region=… and file:///folder are", o.Photos)
		}
		if u.Scheme == "s3" {
			s.open = func(ctx context.Context) (*blob.Bucket, error) { return blob.OpenBucket(ctx, o.Photos) }
			return s, nil
		}
		s.folder = filepath.FromSlash(u.Path)
	case IsPostgres(where):
		return nil, nil
	default:
		s.folder = filepath.Join(where, PhotosFolder)
	}
	s.open = func(context.Context) (*blob.Bucket, error) {
		return fileblob.OpenBucket(s.folder, &fileblob.Options{
			CreateDir: true, DirFileMode: 0o700, NoTempDir: true, Metadata: fileblob.MetadataDontWrite,
		})
	}
	return s, nil
}

func (o *objects) close() error {
	if o == nil {
		return nil
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.bucket == nil {
		return nil
	}
	err := o.bucket.Close()
	o.bucket = nil
	return err
}

// store returns the yard's store once it is known to be the yard's: else what another
// place lacks would be taken for lost. Errors: *StoreError.
func (y *Yard) store(ctx context.Context) (*objects, error) {
	o := y.objects
	if o == nil {
		return nil, errStoreAbsent
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.bucket == nil {
		b, err := o.open(ctx)
		if err != nil {
			return nil, &StoreError{err}
		}
		o.bucket = b
	}
	if o.ours {
		return o, nil
	}
	name, used, err := y.storeName(ctx)
	if err != nil {
		return nil, err
	}
	patient, done := context.WithTimeout(ctx, o.patience)
	defer done()
	mark, err := o.bucket.ReadAll(patient, markKey)
	switch {
	case err == nil && string(mark) != name:
		err = errOtherStore
	case gcerrors.Code(err) == gcerrors.NotFound && used:
		err = errEmptyStore
	case gcerrors.Code(err) == gcerrors.NotFound:
		err = o.write(patient, markKey, func(w io.Writer) error {
			_, err := io.WriteString(w, name)
			return err
		})
	}
	if err != nil {
		return nil, &StoreError{err}
	}
	o.ours = true
	return o, nil
}

// CheckStore reports whether the store of photos answers and is this yard's; nil also
// where the yard has none and needs none. Errors: *StoreError, the database's.
func (y *Yard) CheckStore(ctx context.Context) error {
	if y.objects == nil {
		_, used, err := y.storeName(ctx)
		if err == nil && used {
			return errStoreAbsent
		}
		return err
	}
	o, err := y.store(ctx)
	if err != nil {
		return err
	}
	patient, done := context.WithTimeout(ctx, o.patience)
	defer done()
	if _, err := o.bucket.ReadAll(patient, markKey); err != nil {
		return &StoreError{err}
	}
	return nil
}

// storeName is by what the yard knows its store, and whether a photo is in it.
func (y *Yard) storeName(ctx context.Context) (name string, used bool, err error) {
	look := func(s session) error {
		one, err := s.texts("SELECT id FROM photos WHERE stored = 1 LIMIT 1")
		used = len(one) > 0
		if err != nil {
			return err
		}
		return s.row("SELECT value FROM identity WHERE name = 'photos'", nil, &name)
	}
	if err = y.view(ctx, look); !errors.Is(err, ErrNotFound) {
		return name, used, err
	}
	err = y.update(ctx, func(s session) error {
		err := s.exec("INSERT INTO identity (name, value) VALUES ('photos', ?) ON CONFLICT (name) DO NOTHING", uuid.NewString())
		if err != nil {
			return err
		}
		return look(s)
	})
	return name, used, err
}

// write makes or replaces an object, whole or not at all.
func (o *objects) write(ctx context.Context, key string, fill func(io.Writer) error) error {
	ctx, give := context.WithCancel(ctx)
	defer give() // ends a write that did not come to its end
	var file *os.File
	w, err := o.bucket.NewWriter(ctx, key, &blob.WriterOptions{
		ContentType: "application/octet-stream", BufferSize: partBytes, MaxConcurrency: 1,
		BeforeWrite: func(as func(any) bool) error {
			if o.folder != "" && as(&file) {
				return file.Chmod(0o600)
			}
			return nil
		},
	})
	if err != nil {
		return err
	}
	err = fill(w)
	if err == nil && file != nil && o.durable {
		err = file.Sync()
	}
	if err != nil {
		give()
		return errors.Join(err, ignoring(w.Close()))
	}
	if err := w.Close(); err != nil {
		return err
	}
	if o.folder == "" || !o.durable {
		return nil
	}
	return syncFolder(o.folder)
}

// ignoring is for an error that follows from another.
func ignoring(error) error { return nil }

func syncFolder(folder string) error {
	f, err := os.Open(folder)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// put has a photo in the store: what fill writes, in one go. It is read again before it
// counts as stored. Errors: *DigestError where the bytes given are not those of the
// name, *StoreError, those of fill.
func (o *objects) put(ctx context.Context, id string, size int64, fill func(io.Writer) error) (blocks []byte, err error) {
	select {
	case o.writing <- struct{}{}:
		defer func() { <-o.writing }()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	patient, done := context.WithTimeout(ctx, o.patience)
	defer done()
	if at, err := o.bucket.Attributes(patient, id); err == nil && at.Size == size {
		if blocks, err = o.verify(patient, id, size); err == nil {
			return blocks, nil // it is there already: an answer was lost, or the move was stopped
		}
	}
	var wrong error
	if err := o.faults("write"); err != nil {
		return nil, &StoreError{err}
	}
	err = o.write(patient, id, func(w io.Writer) error {
		var h hasher
		wrong = fill(io.MultiWriter(w, &h))
		if wrong == nil && h.name() != id {
			wrong = &DigestError{}
		}
		return wrong
	})
	if wrong != nil {
		return nil, wrong
	}
	if err == nil {
		err = o.faults("written")
	}
	if err == nil {
		blocks, err = o.verify(patient, id, size)
	}
	if err != nil {
		return nil, &StoreError{err}
	}
	return blocks, nil
}

// verify reads an object whole and returns the hashes of its blocks.
func (o *objects) verify(ctx context.Context, id string, size int64) ([]byte, error) {
	r, err := o.bucket.NewReader(ctx, id, nil)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	var h hasher
	n, err := io.Copy(&h, io.LimitReader(r, size+1))
	if err == nil && (n != size || h.name() != id) {
		err = errWrongBytes
	}
	return h.blocks(), err
}

// remove deletes an object; one that is not there is none.
func (o *objects) remove(ctx context.Context, id string) error {
	patient, done := context.WithTimeout(ctx, o.patience)
	defer done()
	err := o.faults("remove")
	if err == nil {
		err = o.bucket.Delete(patient, id)
	}
	if gcerrors.Code(err) == gcerrors.NotFound {
		err = nil
	}
	if err == nil {
		err = o.faults("removed")
	}
	if err != nil {
		return &StoreError{err}
	}
	return nil
}

// blockBytes is the length of the blocks of which each photo's hashes are kept, so that a
// part of it can be checked by itself.
const blockBytes = 128 << 10

// hasher finds the name of a photo and the SHA-256 of each of its blocks.
type hasher struct {
	whole, block interface {
		io.Writer
		Sum([]byte) []byte
		Reset()
	}
	in   int
	done []byte
}

func (h *hasher) Write(b []byte) (int, error) {
	if h.whole == nil {
		h.whole, h.block = sha256.New(), sha256.New()
	}
	_, _ = h.whole.Write(b)
	for rest := b; len(rest) > 0; {
		n := min(len(rest), blockBytes-h.in)
		_, _ = h.block.Write(rest[:n])
		rest = rest[n:]
		if h.in += n; h.in == blockBytes {
			h.done = h.block.Sum(h.done)
			h.block.Reset()
			h.in = 0
		}
	}
	return len(b), nil
}

func (h *hasher) name() string {
	if h.whole == nil {
		return ""
	}
	return hex.EncodeToString(h.whole.Sum(nil))
}

func (h *hasher) blocks() []byte {
	if h.in == 0 {
		return h.done
	}
	return h.block.Sum(h.done[:len(h.done):len(h.done)])
}
