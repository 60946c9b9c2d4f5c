package storage

import (
	"bytes"
	"context"
	"errors"

	"pegpour/engine/refusal"
)

// Exchange is the part of a Store that sync uses: a table of records of its
// own, and taking over a document from elsewhere in one transaction with them.
// A back-up leaves the records out: they hold the device's key to the yard.
type Exchange interface {
	// Inventory reads, in one state of the store, every site with the photos it
	// names, the photos that are here, and the records whose keys start with
	// one of prefixes.
	Inventory(ctx context.Context, prefixes ...string) (Inventory, error)
	// Exchanged returns the value of a record; nil when there is none.
	Exchanged(ctx context.Context, key string) ([]byte, error)
	// KeepExchanged writes records, a nil value removing one, if each record of
	// still has the value given there (nil: is not there). Errors: ErrMoved
	// when not, as when another tab was at work.
	KeepExchanged(ctx context.Context, still, records []Record) error
	// Receive makes d the state of its site, if that still stands at revision
	// at ("": is not here), and keeps what records returns for the resulting
	// revision in the same transaction. The change can be undone like an edit.
	// Equal to what is here, it only keeps the records. Errors: ErrMoved, and
	// those of Commit and Create.
	Receive(ctx context.Context, d *Document, at Revision, label string, still []Record,
		records func(Revision) []Record) (Loaded, error)
	// Forget deletes a site as DeleteForever does, if it stands at revision at ("":
	// wherever it stands, also when it is not here), and keeps records in the same
	// transaction. Errors: ErrMoved.
	Forget(ctx context.Context, id string, at Revision, still, records []Record) error
}

// ErrMoved: what the change rested on is no longer so; read again and repeat.
var ErrMoved = error(refusal.Error("changed meanwhile: read it again"))

// Inventory is what stands in a store, as sync needs it.
type Inventory struct {
	Sites   []InventorySite
	Photos  map[string]bool // the photos whose bytes are here
	Records []Record
}

// InventorySite is one site of an Inventory.
type InventorySite struct {
	Summary
	PhotoIDs []string
}

func (k *keeper) Inventory(ctx context.Context, prefixes ...string) (Inventory, error) {
	var in Inventory
	err := k.backend.View(ctx, func(tx Tx) error {
		in = Inventory{Photos: map[string]bool{}}
		lines, err := tx.All(TableSummaries, "")
		if err != nil {
			return err
		}
		for _, r := range lines {
			l, err := readLineAt(tx, r.Key, r.Value)
			if err != nil {
				return err
			}
			in.Sites = append(in.Sites, InventorySite(l))
		}
		photos, err := tx.Keys(TablePhotoInfo, "")
		if err != nil {
			return err
		}
		for _, id := range photos {
			in.Photos[id] = true
		}
		for _, p := range prefixes {
			records, err := tx.All(TableExchange, p)
			if err != nil {
				return err
			}
			in.Records = append(in.Records, records...)
		}
		return nil
	})
	return in, err
}

func (k *keeper) Exchanged(ctx context.Context, key string) ([]byte, error) {
	var value []byte
	err := k.backend.View(ctx, func(tx Tx) error {
		var err error
		value, err = tx.Get(TableExchange, key)
		return err
	})
	return value, err
}

func (k *keeper) KeepExchanged(ctx context.Context, still, records []Record) error {
	return k.backend.Update(ctx, func(tx Tx) error { return keepExchanged(tx, still, records) })
}

func keepExchanged(tx Tx, still, records []Record) error {
	for _, r := range still {
		value, err := tx.Get(TableExchange, r.Key)
		if err != nil {
			return err
		}
		if !bytes.Equal(value, r.Value) || (value == nil) != (r.Value == nil) {
			return ErrMoved
		}
	}
	for _, r := range records {
		var err error
		if r.Value == nil {
			err = tx.Delete(TableExchange, r.Key)
		} else {
			err = tx.Put(TableExchange, r.Key, r.Value)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (k *keeper) Receive(ctx context.Context, d *Document, at Revision, label string, still []Record,
	records func(Revision) []Record) (Loaded, error) {
	text, err := Encode(d)
	if err != nil {
		return Loaded{}, err
	}
	if d, err = Decode(text); err != nil {
		return Loaded{}, err
	}
	if !usableID(d.ID) {
		return Loaded{}, &DecodeError{Path: "id", Reason: refusal.Say("cannot be {0}", refusal.Typed(d.ID))}
	}
	when := k.now()
	changed := false
	var out Loaded
	err = k.backend.Update(ctx, func(tx Tx) error {
		s, err := readState(tx, d.ID, state{})
		if errors.Is(err, ErrNotFound) && at == "" {
			s, err = state{id: d.ID}, nil
		}
		if err != nil {
			return err
		}
		if s.head.Revision != at {
			return ErrMoved
		}
		if changed, err = receiveInto(tx, &s, d, text, label, when); err != nil {
			return err
		}
		if err := keepExchanged(tx, still, records(s.head.Revision)); err != nil {
			return err
		}
		out, err = loadedOf(tx, s)
		return err
	})
	if err != nil {
		return Loaded{}, err
	}
	if changed {
		k.backend.Announce(d.ID)
	}
	return out, nil
}

// receiveInto makes d the new state of s, with an edit that takes it back.
func receiveInto(tx Tx, s *state, d *Document, text []byte, label, when string) (changed bool, err error) {
	if s.head.Revision == "" {
		s.subject = d
		return true, keep(tx, s, Step{Action: Merged, Label: label, At: when})
	}
	here, ok := s.subject.(*Document)
	if !ok {
		return false, ErrNotFound
	}
	old, err := Encode(here)
	if err != nil || bytes.Equal(old, text) {
		return false, err
	}
	e, err := Diff(here, d)
	if err != nil {
		return false, err
	}
	left, err := dropLeft(tx, s)
	if err != nil {
		return false, err
	}
	s.head.Done++
	s.head.Top = s.head.Done
	e = e.written(s.id)
	e.Label = label
	if err := putJSON(tx, TableEdits, numbered(s.id, s.head.Done), e); err != nil {
		return false, err
	}
	s.subject = d
	return true, keep(tx, s, Step{Action: Merged, Label: label, At: when, Left: left})
}
