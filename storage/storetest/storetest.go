// Package storetest is what every storage.Store must do, as tests. It is run
// against the store in memory and, inside a browser, against IndexedDB.
package storetest

import (
	"context"
	"errors"
	"slices"
	"testing"

	"pegpour/engine/survey"
	"pegpour/storage"
)

// Run tests stores. open returns an empty store, another each time. again
// returns a second connection to the store opened last, as another tab or a
// restart would; it may be nil.
func Run(t *testing.T, open, again func(t *testing.T) storage.Store) {
	for _, c := range []struct {
		name string
		test func(*testing.T, storage.Store)
	}{
		{"EmptyStore", emptyStore},
		{"CreateLoad", createLoad},
		{"CommitUndoRedo", commitUndoRedo},
		{"Runs", runs},
		{"Trash", trash},
		{"Shop", shop},
		{"Photos", photos},
		{"SitesOrder", sitesOrder},
		{"ConcurrentCommits", func(t *testing.T, s storage.Store) { concurrentCommits(t, s, s) }},
		{"Moved", moved},
		{"Watch", watch},
		{"Context", contextEnds},
		{"BackUp", func(t *testing.T, s storage.Store) { backUp(t, s, open(t)) }},
		{"History", history},
	} {
		t.Run(c.name, func(t *testing.T) { c.test(t, open(t)) })
	}
	if again == nil {
		return
	}
	t.Run("TwoTabs", func(t *testing.T) { s := open(t); concurrentCommits(t, s, again(t)) })
	t.Run("TabsHearOfChanges", func(t *testing.T) { s := open(t); tabsHear(t, s, again(t)) })
	t.Run("Restart", func(t *testing.T) { s := open(t); restart(t, s, again) })
}

// Site returns a new site with a name.
func Site(name string) *storage.Document {
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Survey.Site.Name = name
	return d
}

// must fails the test on an error and returns the value.
func must[T any](v T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func encoded(t testing.TB, d *storage.Document) string {
	t.Helper()
	text, err := storage.Encode(d)
	return string(must(text, err)(t))
}

func setWidth(t testing.TB, l storage.Loaded, size float64) storage.Edit {
	t.Helper()
	e, err := storage.SetValue(l.Document, survey.OpeningWidth, survey.Measured(size, survey.ByTape))
	return must(e, err)(t)
}

func create(t testing.TB, s storage.Store, name string) storage.Loaded {
	t.Helper()
	l, err := s.Create(context.Background(), Site(name))
	return must(l, err)(t)
}

func commit(t testing.TB, s storage.Store, l storage.Loaded, e storage.Edit) storage.Loaded {
	t.Helper()
	n, err := s.Commit(context.Background(), l.Document.ID, e, l.Revision)
	return must(n, err)(t)
}

func emptyStore(t *testing.T, s storage.Store) {
	ctx := context.Background()
	if sites, err := s.Sites(ctx); err != nil || len(sites) != 0 {
		t.Errorf("sites: %v, %v", sites, err)
	}
	_, _, photoErr := s.Photo(ctx, "none")
	_, loadErr := s.Load(ctx, "none")
	_, commitErr := s.Commit(ctx, "none", storage.Edit{}, "")
	_, undoErr := s.Undo(ctx, "none")
	_, rawErr := s.Raw(ctx, "none")
	for name, err := range map[string]error{
		"load": loadErr, "commit": commitErr, "undo": undoErr, "raw": rawErr, "photo": photoErr,
		"trash": s.Trash(ctx, "none"), "restore": s.Restore(ctx, "none"), "delete": s.DeleteForever(ctx, "none"),
	} {
		if !errors.Is(err, storage.ErrNotFound) {
			t.Errorf("%s: %v, want ErrNotFound", name, err)
		}
	}
	if h, err := s.History(ctx, "none"); err != nil || len(h) != 0 {
		t.Errorf("history: %v, %v", h, err)
	}
}

func createLoad(t *testing.T, s storage.Store) {
	ctx := context.Background()
	d := Site("Ümlaut \U0001f600")
	made := must(s.Create(ctx, d))(t)
	if _, err := s.Create(ctx, d); !errors.Is(err, storage.ErrExists) {
		t.Errorf("second: %v, want ErrExists", err)
	}
	got, err := s.Load(ctx, d.ID)
	if err != nil || encoded(t, got.Document) != encoded(t, d) || got.Revision != made.Revision {
		t.Errorf("got %+v, %v", got, err)
	}
	if want := storage.NameRevision([]byte(encoded(t, d))); got.Revision != want {
		t.Errorf("revision %s, want %s", got.Revision, want)
	}
	raw, err := s.Raw(ctx, d.ID)
	if err != nil || string(raw) != encoded(t, d) {
		t.Errorf("raw: %s, %v", raw, err)
	}
	sites, err := s.Sites(ctx)
	if err != nil || len(sites) != 1 || sites[0].Name != d.Survey.Site.Name || sites[0].Revision != made.Revision {
		t.Errorf("sites: %+v, %v", sites, err)
	}
}

func runs(t *testing.T, s storage.Store) {
	ctx := context.Background()
	l := create(t, s, "a")
	start := encoded(t, l.Document)
	for _, text := range []string{"4", "40", "400", "4000"} {
		e, err := storage.SetDraft(l.Document, survey.OpeningWidth, text)
		e = must(e, err)(t)
		e.Run = "typing 1"
		l = commit(t, s, l, e)
	}
	typed := encoded(t, l.Document)
	e, err := storage.SetDraft(l.Document, survey.OpeningWidth, "5")
	e = must(e, err)(t)
	e.Run = "typing 2"
	commit(t, s, l, e)
	l = must(s.Undo(ctx, l.Document.ID))(t)
	if encoded(t, l.Document) != typed {
		t.Error("the second entry took the first with it")
	}
	l = must(s.Undo(ctx, l.Document.ID))(t)
	if encoded(t, l.Document) != start {
		t.Error("one undo does not take a whole entry back")
	}
	l = must(s.Redo(ctx, l.Document.ID))(t)
	if encoded(t, l.Document) != typed {
		t.Error("one redo does not bring a whole entry")
	}
}

func sitesOrder(t *testing.T, s storage.Store) {
	a, b := create(t, s, "a"), create(t, s, "b")
	b = commit(t, s, b, setWidth(t, b, 3000))
	a = commit(t, s, a, setWidth(t, a, 3000))
	sites := must(s.Sites(context.Background()))(t)
	if len(sites) != 2 || sites[0].ID != a.Document.ID || sites[1].ID != b.Document.ID {
		// A clock of whole seconds may give both the same time.
		if sites[0].Changed != sites[1].Changed {
			t.Errorf("order: %+v", sites)
		}
	}
}

func contextEnds(t *testing.T, s storage.Store) {
	l := create(t, s, "a")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := s.Sites(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("sites: %v", err)
	}
	if _, err := s.Commit(ctx, l.Document.ID, setWidth(t, l, 3000), ""); !errors.Is(err, context.Canceled) {
		t.Errorf("commit: %v", err)
	}
	if n := must(s.Load(context.Background(), l.Document.ID))(t); n.Revision != l.Revision {
		t.Error("a call that was cancelled before it began changed the site")
	}
}

func history(t *testing.T, s storage.Store) {
	ctx := context.Background()
	l := create(t, s, "a")
	l = commit(t, s, l, setWidth(t, l, 3000))
	must(s.Undo(ctx, l.Document.ID))(t)
	l = must(s.Redo(ctx, l.Document.ID))(t)
	steps := must(s.History(ctx, l.Document.ID))(t)
	var actions []storage.Action
	for i, step := range steps {
		actions = append(actions, step.Action)
		if step.Number != i+1 || step.At == "" {
			t.Errorf("step %+v", step)
		}
		if i > 0 && !slices.Equal(step.Parents, []storage.Revision{steps[i-1].Revision}) {
			t.Errorf("step %d: parents %v", i, step.Parents)
		}
	}
	if !slices.Equal(actions, []storage.Action{storage.Created, storage.Edited, storage.Undone, storage.Redone}) {
		t.Errorf("actions %v", actions)
	}
	if steps[3].Revision != l.Revision {
		t.Error("the last step is not the revision at hand")
	}
}

func commitUndoRedo(t *testing.T, s storage.Store) {
	ctx := context.Background()
	l := create(t, s, "a")
	id := l.Document.ID
	if _, err := s.Undo(ctx, id); !errors.Is(err, storage.ErrNothing) {
		t.Errorf("undo of nothing: %v", err)
	}
	if _, err := s.Redo(ctx, id); !errors.Is(err, storage.ErrNothing) {
		t.Errorf("redo of nothing: %v", err)
	}
	states := []string{encoded(t, l.Document)}
	for i := range 5 {
		l = commit(t, s, l, setWidth(t, l, 3000+float64(i)))
		if !l.CanUndo || l.CanRedo || l.Moved || l.UndoLabel == "" {
			t.Errorf("after commit %d: %+v", i, l)
		}
		states = append(states, encoded(t, l.Document))
	}
	for i := 4; i >= 0; i-- {
		l = must(s.Undo(ctx, id))(t)
		if encoded(t, l.Document) != states[i] {
			t.Errorf("undo to %d: %s\nwant %s", i, encoded(t, l.Document), states[i])
		}
	}
	if l.CanUndo || !l.CanRedo {
		t.Errorf("all undone: %+v", l)
	}
	for i := 1; i <= 3; i++ {
		l = must(s.Redo(ctx, id))(t)
		if encoded(t, l.Document) != states[i] {
			t.Errorf("redo to %d differs", i)
		}
	}
	e, err := storage.SetWords(l.Document, survey.SiteClient, "new way")
	l = commit(t, s, l, must(e, err)(t))
	if l.CanRedo {
		t.Error("a new edit leaves the old way to redo")
	}
	if _, err := s.Redo(ctx, id); !errors.Is(err, storage.ErrNothing) {
		t.Errorf("redo: %v", err)
	}
	l = must(s.Undo(ctx, id))(t)
	if encoded(t, l.Document) != states[3] {
		t.Error("undo of the new way differs")
	}
	before := l.Revision
	if l = commit(t, s, l, storage.Edit{Label: "nothing"}); l.Revision != before {
		t.Error("an empty edit made a revision")
	}
	bad := storage.Edit{Changes: []storage.Change{{Path: "/id", After: []byte(`"x"`)}}}
	var refused *storage.PathError
	if _, err := s.Commit(ctx, id, bad, ""); !errors.As(err, &refused) {
		t.Errorf("bad path: %v", err)
	}
	if now := must(s.Load(ctx, id))(t); now.Revision != before {
		t.Error("a refused edit changed the site")
	}
}
