package passing

import (
	"bytes"
	"context"

	"pegpour/engine/refusal"
	"pegpour/storage"
)

// mostUnpacked is the most that a packed file may have inside, in bytes.
const mostUnpacked = 64 << 20

var (
	errNotPacked  = error(refusal.Error("what came is no file of this program"))
	errUnpackedTo = error(refusal.Error("what came unpacks to more than this program takes"))
	errCannotPack = error(refusal.Error("this browser is too old to pack files"))
)

// packedSite is a back-up of one site, packed.
func packedSite(c context.Context, store storage.Store, id string, photos bool) ([]byte, error) {
	var file bytes.Buffer
	if err := store.BackUpSite(c, &file, id, photos); err != nil {
		return nil, err
	}
	return packed(file.Bytes())
}

// packedRules is a back-up of the shop's rules, packed.
func packedRules(c context.Context, store storage.Store) ([]byte, error) {
	l, err := store.Shop(c)
	if err != nil {
		return nil, err
	}
	var file bytes.Buffer
	if err := storage.BackUpRules(&file, l.Shop); err != nil {
		return nil, err
	}
	return packed(file.Bytes())
}
