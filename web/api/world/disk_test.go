package world

import (
	"context"
	"errors"
	"strings"

	"pegpour/storage"
)

// disk is the browser's store of one phone, which fails in the ways such stores do.
type disk struct {
	*storage.Memory
	fired func(kind)

	full     bool
	lost     int  // calls that find no connection
	at       int  // the call that fails, counted from now; 0: none
	keptAll  bool // it fails after all was kept
	tear     bool // the next change is torn
	powerCut bool // nothing is done any more
	noUndo   bool // what only undo needs is not kept: a million edits are not for undoing
}

var errConnection = &storage.UnavailableError{Reason: storage.StoreFailure, Cause: errors.New("the connection is lost")}

func (d *disk) call() error {
	if d.powerCut {
		return storage.ErrClosed
	}
	if d.lost > 0 {
		d.lost--
		d.fired(connection)
		return errConnection
	}
	if d.at > 0 {
		if d.at--; d.at == 0 && !d.keptAll {
			d.fired(failAt)
			return storage.ErrFull
		}
	}
	return nil
}

func (d *disk) View(ctx context.Context, do func(storage.Tx) error) error {
	if d.powerCut {
		return storage.ErrClosed
	}
	return d.Memory.View(ctx, func(tx storage.Tx) error { return do(&failingTx{Tx: tx, d: d}) })
}

func (d *disk) Update(ctx context.Context, do func(storage.Tx) error) error {
	if d.powerCut {
		return storage.ErrClosed
	}
	tx := &failingTx{d: d}
	err := d.Memory.Update(ctx, func(inner storage.Tx) error {
		tx.Tx = inner
		err := do(tx)
		if err == nil {
			err = d.call()
		}
		if err == nil && d.full && tx.wrote {
			d.fired(full)
			err = storage.ErrFull
		}
		return err
	})
	switch {
	case err == nil && d.keptAll && tx.wrote && d.at <= 0:
		d.keptAll = false
		d.fired(keptAll)
		return errConnection
	case err == nil && d.tear && tx.torn.Key != "":
		d.tear, d.powerCut = false, true
		d.fired(tear)
		_ = d.Memory.Update(ctx, func(inner storage.Tx) error {
			return inner.Put(tx.tornIn, tx.torn.Key, tx.torn.Value[:len(tx.torn.Value)/2])
		})
		return storage.ErrClosed
	}
	return err
}

// failingTx counts the calls of a transaction.
type failingTx struct {
	storage.Tx
	d      *disk
	wrote  bool
	torn   storage.Record // the first of its records that may be torn
	tornIn storage.Table
}

func (x *failingTx) Get(t storage.Table, key string) ([]byte, error) {
	if err := x.d.call(); err != nil {
		return nil, err
	}
	return x.Tx.Get(t, key)
}

func (x *failingTx) Put(t storage.Table, key string, value []byte) error {
	if err := x.d.call(); err != nil {
		return err
	}
	x.wrote = true
	if x.d.noUndo && (t == storage.TableEdits || t == storage.TableHistory) {
		return nil
	}
	if x.torn.Key == "" && mayTear(t, key) {
		x.torn, x.tornIn = storage.Record{Key: key, Value: value}, t
	}
	return x.Tx.Put(t, key, value)
}

// mayTear leaves out what cannot be worked out again from anything: documents,
// photos, and the key to the yard.
func mayTear(t storage.Table, key string) bool {
	begin, _, _ := strings.Cut(key, "/")
	switch t {
	case storage.TableHeads, storage.TableSummaries, storage.TableHistory, storage.TableEdits:
		return true
	case storage.TableExchange:
		return strings.Contains("site send base part theirs cursor yard contact", begin)
	}
	return false
}

func (x *failingTx) Delete(t storage.Table, key string) error {
	if err := x.d.call(); err != nil {
		return err
	}
	x.wrote = true
	return x.Tx.Delete(t, key)
}

func (x *failingTx) All(t storage.Table, prefix string) ([]storage.Record, error) {
	if err := x.d.call(); err != nil {
		return nil, err
	}
	return x.Tx.All(t, prefix)
}

func (x *failingTx) Values(t storage.Table, prefix string) ([][]byte, error) {
	if err := x.d.call(); err != nil {
		return nil, err
	}
	return x.Tx.Values(t, prefix)
}

func (x *failingTx) Keys(t storage.Table, prefix string) ([]string, error) {
	if err := x.d.call(); err != nil {
		return nil, err
	}
	return x.Tx.Keys(t, prefix)
}
