package storage

import (
	"bytes"
	"context"
	"errors"
	"strings"
	"time"

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
	// ReceiveShop makes rules the shop's, as resting on a revision of the yard's, if the
	// shop still stands at revision at ("": was never changed), and keeps what records
	// returns for the resulting revision. Errors: ErrMoved, and those of CommitShop.
	ReceiveShop(ctx context.Context, rules map[string]float64, yard int64, at Revision, label string, still []Record,
		records func(Revision) []Record) error
	// Forget deletes a site as DeleteForever does, if it stands at revision at ("":
	// wherever it stands, also when it is not here), and keeps records in the same
	// transaction. Errors: ErrMoved.
	Forget(ctx context.Context, id string, at Revision, still, records []Record) error
}

// ErrMoved: what the change rested on is no longer so; read again and repeat.
var ErrMoved = error(refusal.Error("changed meanwhile: read it again"))

// Inventory is what stands in a store, as sync needs it. It is only read: parts of it
// are shared with other Inventories.
type Inventory struct {
	Sites  []*InventorySite // by identity
	Photos map[string]bool  // the photos whose bytes are here

	records map[string]map[string][]byte
}

// Record is the value of a record whose key starts with a prefix that was asked for; nil
// when there is none.
func (in *Inventory) Record(key string) []byte {
	for start, records := range in.records {
		if strings.HasPrefix(key, start) {
			return records[key]
		}
	}
	return nil
}

// Records are those whose keys start with a prefix that was asked for.
func (in *Inventory) Records(prefix string) map[string][]byte { return in.records[prefix] }

// InventorySite is one site of an Inventory.
type InventorySite struct {
	Summary
	PhotoIDs []string
}

func (k *keeper) Inventory(ctx context.Context, prefixes ...string) (Inventory, error) {
	now, _ := time.Parse(time.RFC3339, k.now())
	return k.backend.inventory(ctx, now, prefixes)
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

func (k *keeper) ReceiveShop(ctx context.Context, rules map[string]float64, yard int64, at Revision, label string,
	still []Record, records func(Revision) []Record) error {
	when := k.now()
	changed := false
	err := k.backend.Update(ctx, func(tx Tx) error {
		s, err := readState(tx, ShopID, state{})
		if err != nil {
			return err
		}
		shop, ok := s.subject.(*Shop)
		if !ok || s.head.Revision != at {
			return ErrMoved
		}
		b := onShop(shop, label)
		for _, key := range rulesApart(shop.Rules, rules) {
			if v, ok := rules[key]; ok {
				b.set(joinPath("rules", key), v)
			} else {
				b.set(joinPath("rules", key), nil)
			}
		}
		if yard == 0 {
			b.set("/yard", nil)
		} else {
			b.set("/yard", yard)
		}
		e, err := b.done()
		if err != nil {
			return err
		}
		made, err := commitTo(tx, &s, e, when)
		if err != nil {
			return err
		}
		changed = !made.Empty()
		return keepExchanged(tx, still, records(s.head.Revision))
	})
	if err == nil && changed {
		k.backend.Announce(ShopID)
	}
	return err
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
