package passing

import (
	"bytes"
	"compress/flate"
	"context"
	"io"

	"pegpour/engine/refusal"
	"pegpour/storage"
)

// mostUnpacked is the most that a packed file may have inside, in bytes.
const mostUnpacked = 64 << 20

var (
	errNotPacked  = error(refusal.Error("what came is no file of this program"))
	errUnpackedTo = error(refusal.Error("what came unpacks to more than this program takes"))
)

// packedSite is a back-up of one site, packed (RFC 1951).
func packedSite(c context.Context, store storage.Store, id string, photos bool) ([]byte, error) {
	return packed(func(w io.Writer) error { return store.BackUpSite(c, w, id, photos) })
}

// packedRules is a back-up of the shop's rules, packed.
func packedRules(c context.Context, store storage.Store) ([]byte, error) {
	l, err := store.Shop(c)
	if err != nil {
		return nil, err
	}
	return packed(func(w io.Writer) error { return storage.BackUpRules(w, l.Shop) })
}

func packed(write func(io.Writer) error) ([]byte, error) {
	var out bytes.Buffer
	w, err := flate.NewWriter(&out, flate.BestCompression)
	if err != nil {
		return nil, err
	}
	if err := write(w); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// unpacked is what was packed.
func unpacked(content []byte) ([]byte, error) {
	file, err := io.ReadAll(io.LimitReader(flate.NewReader(bytes.NewReader(content)), mostUnpacked+1))
	switch {
	case err != nil:
		return nil, errNotPacked
	case len(file) > mostUnpacked:
		return nil, errUnpackedTo
	}
	return file, nil
}
