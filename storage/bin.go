package storage

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"strings"

	"pegpour/engine/refusal"
)

func (k *keeper) Trash(ctx context.Context, id string) error   { return k.setTrashed(ctx, id, true) }
func (k *keeper) Restore(ctx context.Context, id string) error { return k.setTrashed(ctx, id, false) }

// setTrashed works on damaged sites too, which have no document to read.
func (k *keeper) setTrashed(ctx context.Context, id string, trashed bool) error {
	err := k.backend.Update(ctx, func(tx Tx) error {
		raw, err := tx.Get(TableDocuments, id)
		if err != nil {
			return err
		}
		if raw == nil || id == ShopID {
			return ErrNotFound
		}
		h, err := readHead(tx, id, raw)
		if err != nil {
			return err
		}
		h.Trashed = trashed
		if err := putJSON(tx, TableHeads, id, h); err != nil {
			return err
		}
		text, err := tx.Get(TableSummaries, id)
		if err != nil {
			return err
		}
		l, err := readLineAt(tx, id, text)
		if err != nil {
			return err
		}
		l.Trashed = trashed
		return tx.Put(TableSummaries, id, l.text())
	})
	if err == nil {
		k.backend.Announce(id)
	}
	return err
}

func (k *keeper) DeleteForever(ctx context.Context, id string) error {
	return k.delete(ctx, id, func(tx Tx) error { return deleteSite(tx, id) })
}

func (k *keeper) DeleteUnchanged(ctx context.Context, id string, at Revision) error {
	return k.delete(ctx, id, func(tx Tx) error {
		h, ok, err := headAt(tx, id)
		if err != nil {
			return err
		}
		sent, err := tx.Get(TableExchange, ExchangedSite+id)
		if err != nil {
			return err
		}
		if !ok || h.Revision != at || sent != nil {
			return ErrMoved
		}
		return deleteSite(tx, id)
	})
}

func (k *keeper) Forget(ctx context.Context, id string, at Revision, still, records []Record) error {
	return k.delete(ctx, id, func(tx Tx) error {
		if at != "" {
			if h, ok, err := headAt(tx, id); err != nil {
				return err
			} else if !ok || h.Revision != at {
				return ErrMoved
			}
		}
		if err := keepExchanged(tx, still, nil); err != nil {
			return err
		}
		if err := deleteSite(tx, id); err != nil && !errors.Is(err, ErrNotFound) {
			return err
		}
		return keepExchanged(tx, nil, records)
	})
}

func (k *keeper) delete(ctx context.Context, id string, do func(Tx) error) error {
	err := k.backend.Update(ctx, do)
	if err == nil || errors.Is(err, ErrNotFound) { // it may have gone in a call whose answer was lost
		k.backend.Announce(id)
	}
	return err
}

// deleteSite deletes a site with all that is kept of it, but for the record of its
// deletion.
func deleteSite(tx Tx, id string) error {
	raw, err := tx.Get(TableDocuments, id)
	if err != nil {
		return err
	}
	summary, err := tx.Get(TableSummaries, id)
	if err != nil {
		return err
	}
	if id == ShopID {
		return ErrNotFound
	}
	orphans, err := photosOnlyOf(tx, id, raw)
	if err != nil {
		return err
	}
	// What sync keeps of them holds the same names and pictures; its keys end
	// with the identity.
	exchanged, err := tx.Keys(TableExchange, "")
	if err != nil {
		return err
	}
	for _, key := range exchanged {
		if of := key[strings.LastIndexByte(key, '/')+1:]; !strings.HasPrefix(key, ExchangedDeletion) && of == id ||
			slices.Contains(orphans, of) {
			if err := tx.Delete(TableExchange, key); err != nil {
				return err
			}
		}
	}
	if raw == nil && summary == nil {
		return ErrNotFound
	}
	for _, p := range orphans {
		if err := deletePhoto(tx, p); err != nil {
			return err
		}
	}
	for _, t := range []Table{TableDocuments, TableHeads, TableSummaries} {
		if err := tx.Delete(t, id); err != nil {
			return err
		}
	}
	for _, t := range []Table{TableEdits, TableHistory} {
		keys, err := tx.Keys(t, id+"/")
		if err != nil {
			return err
		}
		for _, key := range keys {
			if err := tx.Delete(t, key); err != nil {
				return err
			}
		}
	}
	return nil
}

// photosOnlyOf lists the photos that a site names, now or in its undo, and no
// other site does now.
func photosOnlyOf(tx Tx, id string, raw []byte) ([]string, error) {
	named := map[string]bool{}
	if d, err := Decode(raw); err == nil {
		for _, p := range d.Photos {
			named[p.ID] = true
		}
	}
	edits, err := tx.All(TableEdits, id+"/")
	if err != nil {
		return nil, err
	}
	for _, r := range edits {
		var e Edit
		if json.Unmarshal(r.Value, &e) != nil {
			continue
		}
		for _, c := range e.Changes {
			if parts := splitPath(c.Path); len(parts) == 2 && parts[0] == "photos" {
				if p, ok := entryID(parts[1]); ok {
					named[p] = true
				}
			}
		}
	}
	if len(named) == 0 {
		return nil, nil
	}
	lines, err := tx.All(TableSummaries, "")
	if err != nil {
		return nil, err
	}
	for _, r := range lines {
		if r.Key == id {
			continue
		}
		l, err := readLineAt(tx, r.Key, r.Value)
		if err != nil {
			return nil, err
		}
		for _, p := range l.PhotoIDs {
			delete(named, p)
		}
	}
	only := make([]string, 0, len(named))
	for p := range named {
		only = append(only, p)
	}
	slices.Sort(only)
	return only, nil
}

// photoInfo is what is kept of a photo beside its bytes.
type photoInfo struct {
	Type string `json:"type,omitempty"`
	Size int    `json:"size"`
}

func (k *keeper) PutPhoto(ctx context.Context, mediaType string, bytes []byte) (string, error) {
	id := PhotoID(bytes)
	return id, k.backend.Update(ctx, func(tx Tx) error { return putPhoto(tx, id, mediaType, bytes) })
}

func putPhoto(tx Tx, id, mediaType string, bytes []byte) error {
	there, err := tx.Get(TablePhotoInfo, id)
	if err != nil || there != nil {
		return err
	}
	if err := tx.Put(TablePhotos, id, bytes); err != nil {
		return err
	}
	return putJSON(tx, TablePhotoInfo, id, photoInfo{mediaType, len(bytes)})
}

func (k *keeper) Photo(ctx context.Context, id string) (string, []byte, error) {
	var info photoInfo
	var bytes []byte
	err := k.backend.View(ctx, func(tx Tx) error {
		var err error
		info, bytes, err = readPhoto(tx, id)
		return err
	})
	return info.Type, bytes, err
}

func readPhoto(tx Tx, id string) (photoInfo, []byte, error) {
	var info photoInfo
	text, err := tx.Get(TablePhotoInfo, id)
	if err != nil {
		return info, nil, err
	}
	bytes, err := tx.Get(TablePhotos, id)
	if err != nil {
		return info, nil, err
	}
	if bytes == nil {
		return info, nil, ErrNotFound
	}
	_ = json.Unmarshal(text, &info) // without it the bytes are still the photo
	if PhotoID(bytes) != id {
		return info, nil, &DamagedError{ID: id, Raw: bytes,
			Cause: error(refusal.Error("the bytes are not those that were kept"))}
	}
	return info, bytes, nil
}

func (k *keeper) PhotoSizes(ctx context.Context) (map[string]int64, error) {
	var sizes map[string]int64
	err := k.backend.View(ctx, func(tx Tx) error {
		sizes = map[string]int64{}
		all, err := tx.All(TablePhotoInfo, "")
		for _, r := range all {
			var info photoInfo
			_ = json.Unmarshal(r.Value, &info) // a damaged one counts nothing
			sizes[r.Key] = int64(info.Size)
		}
		return err
	})
	return sizes, err
}

func (k *keeper) DeletePhoto(ctx context.Context, id string) error {
	return k.backend.Update(ctx, func(tx Tx) error { return deletePhoto(tx, id) })
}

func deletePhoto(tx Tx, id string) error {
	if err := tx.Delete(TablePhotos, id); err != nil {
		return err
	}
	return tx.Delete(TablePhotoInfo, id)
}
