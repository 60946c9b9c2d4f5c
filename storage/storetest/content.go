package storetest

import (
	"bytes"
	"context"
	"errors"
	"testing"

	"pegpour/engine/practice"
	"pegpour/storage"
)

func trash(t *testing.T, s storage.Store) {
	ctx := context.Background()
	l, other := create(t, s, "a"), create(t, s, "b")
	id := l.Document.ID
	trashed := func() bool {
		for _, x := range must(s.Sites(ctx))(t) {
			if x.ID == id {
				return x.Trashed
			}
		}
		t.Fatal("the site is gone")
		return false
	}
	for _, want := range []bool{true, false} {
		call := s.Restore
		if want {
			call = s.Trash
		}
		if err := call(ctx, id); err != nil || trashed() != want {
			t.Errorf("%v, trashed %v, want %v", err, trashed(), want)
		}
	}
	photo := must(s.PutPhoto(ctx, "image/png", []byte("only here")))(t)
	shared := must(s.PutPhoto(ctx, "image/png", []byte("shared")))(t)
	for _, p := range []string{photo, shared} {
		e, err := storage.PutPhoto(l.Document, storage.Photo{ID: p})
		l = commit(t, s, l, must(e, err)(t))
	}
	e, err := storage.PutPhoto(other.Document, storage.Photo{ID: shared})
	commit(t, s, other, must(e, err)(t))
	e, err = storage.RemovePhoto(l.Document, photo)
	commit(t, s, l, must(e, err)(t))
	if _, _, err := s.Photo(ctx, photo); err != nil {
		t.Errorf("a photo that can be brought back by undo is gone: %v", err)
	}
	if err := s.DeleteForever(ctx, id); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Load(ctx, id); !errors.Is(err, storage.ErrNotFound) {
		t.Errorf("load: %v", err)
	}
	if _, _, err := s.Photo(ctx, photo); !errors.Is(err, storage.ErrNotFound) {
		t.Errorf("its own photo: %v", err)
	}
	if _, _, err := s.Photo(ctx, shared); err != nil {
		t.Errorf("a photo of another site went too: %v", err)
	}
	if h := must(s.History(ctx, id))(t); len(h) != 0 {
		t.Errorf("history stays: %v", h)
	}
	if _, err := s.Load(ctx, other.Document.ID); err != nil {
		t.Error(err)
	}

	// A deletion that is to be remembered stands in the same transaction.
	id, now := other.Document.ID, must(s.Load(ctx, other.Document.ID))(t).Revision
	note := storage.Record{Key: storage.ExchangedDeletion + id, Value: []byte("1")}
	sent := storage.Record{Key: storage.ExchangedSite + id, Value: []byte("2")}
	if err := s.KeepExchanged(ctx, nil, []storage.Record{sent}); err != nil {
		t.Fatal(err)
	}
	for _, moved := range []error{
		s.Forget(ctx, id, "another", nil, []storage.Record{note}),
		s.Forget(ctx, id, now, []storage.Record{note}, []storage.Record{note}),
	} {
		if !errors.Is(moved, storage.ErrMoved) {
			t.Errorf("forget: %v", moved)
		}
	}
	must(s.Load(ctx, id))(t)
	for range 2 { // the second time it is not here
		if err := s.Forget(ctx, id, "", nil, []storage.Record{note}); err != nil {
			t.Errorf("forget: %v", err)
		}
	}
	if _, err := s.Load(ctx, id); !errors.Is(err, storage.ErrNotFound) {
		t.Errorf("load: %v", err)
	}
	if kept := must(s.Exchanged(ctx, note.Key))(t); string(kept) != "1" {
		t.Errorf("the record of the deletion is %q", kept)
	}
	if kept := must(s.Exchanged(ctx, sent.Key))(t); kept != nil {
		t.Errorf("what sync kept of it is %q", kept)
	}
}

func shop(t *testing.T, s storage.Store) {
	ctx := context.Background()
	l, err := s.Shop(ctx)
	if err != nil || l.Shop == nil || l.CanUndo {
		t.Fatalf("%+v, %v", l, err)
	}
	e, err := storage.SetShopRule(l.Shop, practice.RuleStripWidth, 222, "")
	l, err = s.CommitShop(ctx, must(e, err)(t))
	if err != nil || l.Shop.Rules[practice.RuleStripWidth] != 222 || !l.CanUndo {
		t.Errorf("%+v, %v", l, err)
	}
	e, err = storage.SetSetting(l.Shop, storage.SettingUnits, storage.UnitsFeet)
	if l, err = s.CommitShop(ctx, must(e, err)(t)); err != nil || l.Shop.Settings.Units != storage.UnitsFeet {
		t.Errorf("%+v, %v", l, err)
	}
	for range 2 {
		if _, err := s.Undo(ctx, storage.ShopID); err != nil {
			t.Fatal(err)
		}
	}
	if l, err = s.Shop(ctx); err != nil || len(l.Shop.Rules) != 0 || l.Shop.Settings.Units != "" || !l.CanRedo {
		t.Errorf("%+v, %v", l, err)
	}
	if sites, err := s.Sites(ctx); err != nil || len(sites) != 0 {
		t.Errorf("the shop is listed as a site: %v, %v", sites, err)
	}
}

func photos(t *testing.T, s storage.Store) {
	ctx := context.Background()
	bytesIn := make([]byte, 300_000)
	for i := range bytesIn {
		bytesIn[i] = byte(i * i)
	}
	id, err := s.PutPhoto(ctx, "image/jpeg", bytesIn)
	if err != nil || id != storage.PhotoID(bytesIn) {
		t.Fatalf("%s, %v", id, err)
	}
	if again, err := s.PutPhoto(ctx, "image/other", bytesIn); err != nil || again != id {
		t.Errorf("again: %s, %v", again, err)
	}
	kind, out, err := s.Photo(ctx, id)
	if err != nil || kind != "image/jpeg" || !bytes.Equal(out, bytesIn) {
		t.Errorf("%s, %d bytes, %v", kind, len(out), err)
	}
	if sizes := must(s.PhotoSizes(ctx))(t); sizes[id] != int64(len(bytesIn)) {
		t.Errorf("sizes: %v", sizes)
	}
	if err := s.DeletePhoto(ctx, id); err != nil {
		t.Error(err)
	}
	if _, _, err := s.Photo(ctx, id); !errors.Is(err, storage.ErrNotFound) {
		t.Errorf("deleted: %v", err)
	}
	if _, err := s.Estimate(ctx); err != nil {
		t.Error(err)
	}
}
