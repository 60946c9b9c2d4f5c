package storetest

import (
	"bytes"
	"context"
	"errors"
	"strings"
	"testing"

	"pegpour/engine/practice"
	"pegpour/storage"
)

func backUp(t *testing.T, s, other storage.Store) {
	ctx := context.Background()
	old := create(t, s, "older here")
	gone := create(t, s, "deleted here")
	same := create(t, s, "same")
	back := create(t, s, "went on in the back-up")
	both := create(t, s, "went on in both")
	var early bytes.Buffer
	if err := s.BackUp(ctx, &early); err != nil {
		t.Fatal(err)
	}
	if _, err := other.RestoreBackUp(ctx, bytes.NewReader(early.Bytes()), storage.KeepHere); err != nil {
		t.Fatal(err)
	}

	back2 := commit(t, s, back, setWidth(t, back, 3333))
	commit(t, s, both, setWidth(t, both, 3001))
	photo := must(s.PutPhoto(ctx, "image/png", []byte("picture")))(t)
	e, err := storage.SetShopRule(storage.NewShop(), practice.RuleStripWidth, 222, "")
	if _, err = s.CommitShop(ctx, must(e, err)(t)); err != nil {
		t.Fatal(err)
	}
	var file bytes.Buffer
	if err := s.BackUp(ctx, &file); err != nil {
		t.Fatal(err)
	}

	load := func(id string) storage.Loaded { return must(other.Load(ctx, id))(t) }
	o := load(old.Document.ID)
	old2 := commit(t, other, o, setWidth(t, o, 4444))
	b := load(both.Document.ID)
	both2 := commit(t, other, b, setWidth(t, b, 3002))
	if err := other.DeleteForever(ctx, gone.Document.ID); err != nil {
		t.Fatal(err)
	}
	want := map[string]storage.RestoreOutcome{
		old.Document.ID: storage.RestoreOlder, gone.Document.ID: storage.RestoreNew, same.Document.ID: storage.RestoreSame,
		back.Document.ID: storage.RestoreNewer, both.Document.ID: storage.RestoreConflict, storage.ShopID: storage.RestoreNew,
	}
	check := func(r storage.RestoreReport, err error, photos int) {
		t.Helper()
		if err != nil || !r.Complete || r.Photos != 1 || r.NewPhotos != photos || len(r.Items) != len(want) || r.Made == "" {
			t.Fatalf("%+v, %v", r, err)
		}
		for _, item := range r.Items {
			if item.Outcome != want[item.ID] {
				t.Errorf("%s (%s): %s, want %s", item.ID, item.Name, item.Outcome, want[item.ID])
			}
		}
	}
	before := must(other.Sites(ctx))(t)
	r, err := other.RestoreBackUp(ctx, bytes.NewReader(file.Bytes()), storage.LookOnly)
	check(r, err, 1)
	if after := must(other.Sites(ctx))(t); len(after) != len(before) {
		t.Error("a dry run changed something")
	}
	r, err = other.RestoreBackUp(ctx, bytes.NewReader(file.Bytes()), storage.KeepHere)
	check(r, err, 1)

	if got := load(old.Document.ID); got.Revision != old2.Revision {
		t.Error("an older state replaced a newer one")
	}
	if got := load(back.Document.ID); encoded(t, got.Document) != encoded(t, back2.Document) || !got.CanUndo {
		t.Errorf("the newer state did not come over: %+v", got)
	}
	if got := must(other.Undo(ctx, back.Document.ID))(t); encoded(t, got.Document) != encoded(t, back.Document) {
		t.Error("its undo did not come over")
	}
	if got := load(both.Document.ID); got.Revision != both2.Revision {
		t.Error("a conflict replaced what was here")
	}
	var copies int
	for _, item := range r.Items {
		if item.CopyID != "" {
			copies++
			if got := load(item.CopyID); got.Document.Survey.Opening.Width.Size != 3001 ||
				!strings.Contains(got.Document.Survey.Site.Name, "back-up") {
				t.Errorf("the copy: %+v", got.Document.Survey)
			}
		}
	}
	if copies != 1 {
		t.Errorf("%d copies", copies)
	}
	if _, bytes, err := other.Photo(ctx, photo); err != nil || string(bytes) != "picture" {
		t.Errorf("photo: %s, %v", bytes, err)
	}
	if l := must(other.Shop(ctx))(t); l.Shop.Rules[practice.RuleStripWidth] != 222 {
		t.Errorf("shop: %+v", l.Shop)
	}
	sites := len(must(other.Sites(ctx))(t))
	if _, err = other.RestoreBackUp(ctx, bytes.NewReader(file.Bytes()), storage.KeepHere); err != nil {
		t.Fatal(err)
	}
	if n := len(must(other.Sites(ctx))(t)); n != sites {
		t.Errorf("restoring twice made %d sites of %d", n, sites)
	}
	faultyFiles(t, other, file.Bytes())
}

func faultyFiles(t *testing.T, s storage.Store, file []byte) {
	lines := bytes.SplitAfter(file, []byte("\n"))
	altered := bytes.Replace(file, []byte("picture"), []byte("PICTURE"), 1)
	altered = bytes.Replace(altered, []byte(`"hand`), []byte(`"hind`), 1)
	altered = bytes.Replace(altered, []byte("older here"), []byte("OLDER here"), 1)
	for name, in := range map[string][]byte{
		"empty": nil, "another file": []byte("{}\n"), "no text": {0xff, 0xfe, 0},
		"newer":         []byte(`{"format":"pegpour-backup","version":99}` + "\n"),
		"cut at a line": bytes.Join(lines[:len(lines)-2], nil), "cut in a line": file[:len(file)-100], "altered": altered,
	} {
		r, err := s.RestoreBackUp(context.Background(), bytes.NewReader(in), storage.LookOnly)
		var e *storage.BackUpError
		if !errors.As(err, &e) || r.Complete {
			t.Errorf("%s: %v, complete %v", name, err, r.Complete)
		}
	}
}
