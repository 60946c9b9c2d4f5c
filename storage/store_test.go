package storage_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"testing"

	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/storetest"
)

func TestMemory(t *testing.T) {
	storetest.Run(t, func(*testing.T) storage.Store { return storage.NewMemory() }, nil)
}

var errBroken = errors.New("the disk broke")

// TestEveryCallFails makes the Nth call on the backend fail, for every N, during
// a session of all that a person does. What was acknowledged must be there
// afterwards; what was refused must not be, unless the answer alone was lost.
func TestEveryCallFails(t *testing.T) {
	ctx := context.Background()
	type action struct {
		name string
		do   func(s storage.Store, id string) error
	}
	commit := func(size float64) func(s storage.Store, id string) error {
		return func(s storage.Store, id string) error {
			e, err := storage.SetValue(storage.NewDocument(""), "opening.width", survey.Measured(size, survey.ByTape))
			if err == nil {
				_, err = s.Commit(ctx, id, e, "")
			}
			return err
		}
	}
	undo := func(s storage.Store, id string) error { _, err := s.Undo(ctx, id); return err }
	redo := func(s storage.Store, id string) error { _, err := s.Redo(ctx, id); return err }
	var file bytes.Buffer
	full := storage.NewMemory()
	if _, err := full.Create(ctx, storetest.Site("from back-up")); err != nil {
		t.Fatal(err)
	}
	if err := full.BackUp(ctx, &file); err != nil {
		t.Fatal(err)
	}
	actions := []action{
		{"commit", commit(3000)}, {"commit", commit(3100)}, {"undo", undo}, {"redo", redo}, {"undo", undo},
		{"commit", commit(3200)},
		{"trash", func(s storage.Store, id string) error { return s.Trash(ctx, id) }},
		{"restore", func(s storage.Store, id string) error { return s.Restore(ctx, id) }},
		{"photo", func(s storage.Store, _ string) error { _, err := s.PutPhoto(ctx, "", []byte("p")); return err }},
		{"shop", func(s storage.Store, _ string) error {
			e, err := storage.SetSetting(storage.NewShop(), storage.SettingTheme, storage.ThemeDark)
			if err == nil {
				_, err = s.CommitShop(ctx, e)
			}
			return err
		}},
		{"back up", func(s storage.Store, _ string) error { return s.BackUp(ctx, &bytes.Buffer{}) }},
		{"restore file", func(s storage.Store, _ string) error {
			_, err := s.RestoreBackUp(ctx, bytes.NewReader(file.Bytes()), storage.KeepHere)
			return err
		}},
		{"sites", func(s storage.Store, _ string) error { _, err := s.Sites(ctx); return err }},
		{"history", func(s storage.Store, id string) error { _, err := s.History(ctx, id); return err }},
		{"raw", func(s storage.Store, id string) error { _, err := s.Raw(ctx, id); return err }},
	}
	state := func(s storage.Store, id string) string {
		l, err := s.Load(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		text, err := storage.Encode(l.Document)
		if err != nil {
			t.Fatal(err)
		}
		steps, err := s.History(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		// The time of a step is not part of what is compared.
		return fmt.Sprint(string(text), l.CanUndo, l.CanRedo, len(steps))
	}
	for _, answered := range []bool{false, true} {
		failures := 0
		for n := 1; ; n++ {
			m := &storage.Memory{}
			s := storage.NewStore(m, func() string { return "2026-01-01T00:00:00Z" })
			l, err := s.Create(ctx, storetest.Site("a"))
			if err != nil {
				t.Fatal(err)
			}
			id := l.Document.ID
			m.FailAt(n, errBroken, answered)
			failed := false
			for _, a := range actions {
				done := m.Calls()
				m.FailAt(0, nil, false) // look without counting
				was := state(s, id)
				m.FailAt(n-done, errBroken, answered)
				if n <= done {
					m.FailAt(0, nil, false)
				}
				err := a.do(s, id)
				spent := done + m.Calls()
				m.FailAt(0, nil, false)
				if err != nil {
					if !errors.Is(err, errBroken) {
						t.Fatalf("call %d, %s: %v", n, a.name, err)
					}
					failed = true
					failures++
					now := state(s, id)
					if now != was && !(answered && a.name != "sites") {
						t.Fatalf("call %d: %s failed and changed the site\nwas %s\nnow %s", n, a.name, was, now)
					}
					if err := a.do(s, id); err != nil && !errors.Is(err, storage.ErrNothing) {
						t.Fatalf("call %d: %s fails again: %v", n, a.name, err)
					}
					break
				}
				m.FailAt(0, nil, false)
				n2 := spent
				m.FailAt(0, nil, false)
				advance(m, n2)
			}
			if !failed {
				break
			}
		}
		if failures < 100 {
			t.Errorf("only %d calls failed", failures)
		}
	}
}

// advance sets the count of calls made so far.
func advance(m *storage.Memory, n int) {
	for range n {
		_ = m.View(context.Background(), func(tx storage.Tx) error { _, err := tx.Get(storage.TableHeads, ""); return err })
	}
}

func TestDamagedRecordsAreIsolated(t *testing.T) {
	ctx := context.Background()
	for _, raw := range []string{"", "{", "\xff\x00", `{"format":"pegpour-site","version":1,"id":"x","survey":7}`} {
		m := &storage.Memory{}
		s := storage.NewStore(m, storage.SteppingClock())
		bad, err := s.Create(ctx, storetest.Site("bad"))
		if err != nil {
			t.Fatal(err)
		}
		good, err := s.Create(ctx, storetest.Site("good"))
		if err != nil {
			t.Fatal(err)
		}
		id := bad.Document.ID
		for _, table := range storage.Tables() {
			if err := m.Update(ctx, func(tx storage.Tx) error {
				keys, err := tx.Keys(table, id)
				for _, key := range keys {
					if err == nil {
						err = tx.Put(table, key, []byte(raw))
					}
				}
				return err
			}); err != nil {
				t.Fatal(err)
			}
		}
		var damaged *storage.DamagedError
		if _, err := s.Load(ctx, id); !errors.As(err, &damaged) || string(damaged.Raw) != raw {
			t.Errorf("%q: load: %v", raw, err)
		}
		if _, err := s.Commit(ctx, id, storage.Edit{}, ""); !errors.As(err, &damaged) {
			t.Errorf("%q: commit: %v", raw, err)
		}
		sites, err := s.Sites(ctx)
		if err != nil || len(sites) != 2 {
			t.Fatalf("%q: sites: %v, %v", raw, sites, err)
		}
		for _, x := range sites {
			if (x.ID == id) != (x.Condition == storage.IsDamaged) {
				t.Errorf("%q: %+v", raw, x)
			}
		}
		if got, err := s.Raw(ctx, id); err != nil || string(got) != raw {
			t.Errorf("%q: raw: %q, %v", raw, got, err)
		}
		if _, err := s.Load(ctx, good.Document.ID); err != nil {
			t.Errorf("%q: the other site: %v", raw, err)
		}
		var file bytes.Buffer
		if err := s.BackUp(ctx, &file); err != nil {
			t.Fatal(err)
		}
		other := storage.NewMemory()
		r, err := other.RestoreBackUp(ctx, &file, storage.KeepHere)
		if err != nil || len(r.Items) != 2 {
			t.Fatalf("%q: %+v, %v", raw, r, err)
		}
		if raw != "" {
			if got, err := other.Raw(ctx, id); err != nil || string(got) != raw {
				t.Errorf("%q: raw after back-up: %q, %v", raw, got, err)
			}
		}
		if err := s.Trash(ctx, id); err != nil {
			t.Error(err)
		}
		if err := s.DeleteForever(ctx, id); err != nil {
			t.Error(err)
		}
	}
}

func TestHeadIsRebuilt(t *testing.T) {
	ctx := context.Background()
	m := &storage.Memory{}
	s := storage.NewStore(m, storage.SteppingClock())
	l, err := s.Create(ctx, storetest.Site("a"))
	if err != nil {
		t.Fatal(err)
	}
	id := l.Document.ID
	for _, size := range []float64{3000, 3100} {
		e, err := storage.SetValue(l.Document, "opening.width", survey.Measured(size, survey.ByTape))
		if err != nil {
			t.Fatal(err)
		}
		if l, err = s.Commit(ctx, id, e, ""); err != nil {
			t.Fatal(err)
		}
	}
	if err := m.Update(ctx, func(tx storage.Tx) error { return tx.Put(storage.TableHeads, id, []byte("{")) }); err != nil {
		t.Fatal(err)
	}
	if l, err = s.Undo(ctx, id); err != nil || l.Document.Survey.Opening.Width.Size != 3000 {
		t.Errorf("%+v, %v", l, err)
	}
}

func TestNewerDocumentInTheStore(t *testing.T) {
	ctx := context.Background()
	m := &storage.Memory{}
	s := storage.NewStore(m, storage.SteppingClock())
	l, err := s.Create(ctx, storetest.Site("a"))
	if err != nil {
		t.Fatal(err)
	}
	id := l.Document.ID
	text := `{"format":"pegpour-site","version":9,"id":"` + id + `"}`
	if err := m.Update(ctx, func(
		tx storage.Tx) error {
		return tx.Put(storage.TableDocuments, id, []byte(text))
	}); err != nil {
		t.Fatal(err)
	}
	var newer *storage.NewerError
	if _, err := s.Load(ctx, id); !errors.As(err, &newer) {
		t.Errorf("load: %v", err)
	}
	if _, err := s.Undo(ctx, id); !errors.As(err, &newer) && !errors.Is(err, storage.ErrNothing) {
		t.Errorf("undo: %v", err)
	}
	if sites, err := s.Sites(ctx); err != nil || sites[0].Condition != storage.IsNewer {
		t.Errorf("%+v, %v", sites, err)
	}
}

func FuzzRestoreBackUp(f *testing.F) {
	ctx := context.Background()
	s := storage.NewMemory()
	l, err := s.Create(ctx, storetest.Site("a"))
	if err != nil {
		f.Fatal(err)
	}
	e, err := storage.SetTick(l.Document, "P1", true)
	if err != nil {
		f.Fatal(err)
	}
	if _, err := s.Commit(ctx, l.Document.ID, e, ""); err != nil {
		f.Fatal(err)
	}
	if _, err := s.PutPhoto(ctx, "image/png", []byte("x")); err != nil {
		f.Fatal(err)
	}
	var file bytes.Buffer
	if err := s.BackUp(ctx, &file); err != nil {
		f.Fatal(err)
	}
	f.Add(file.Bytes())
	f.Add([]byte(`{"format":"pegpour-backup","version":1}` + "\n" +
		`{"record":{"id":"shop","document":{"format":"pegpour-site","version":1,"id":"shop"},"head":{"done":-1,"top":9,"steps":-4}}}`))
	f.Add([]byte(`{"format":"pegpour-backup"}` + "\n" +
		`{"record":{"id":"a","document":{"format":"pegpour-site","version":1,"id":"a"},"head":{"done":1,"top":1},"edits":[{"number":1,"edit":{"changes":[{"path":"/id"}]}}]}}`))
	f.Fuzz(func(t *testing.T, in []byte) {
		s := storage.NewMemory()
		_, err := s.RestoreBackUp(ctx, bytes.NewReader(in), storage.KeepHere)
		var bad *storage.BackUpError
		var decode *storage.DecodeError
		if err != nil && !errors.As(err, &bad) && !errors.As(err, &decode) {
			t.Fatalf("untyped error %v", err)
		}
		sites, err := s.Sites(ctx)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range sites {
			if _, err := s.Load(ctx, x.ID); err == nil {
				_, _ = s.Undo(ctx, x.ID)
				_, _ = s.Redo(ctx, x.ID)
			}
		}
	})
}
