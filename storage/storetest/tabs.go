package storetest

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"pegpour/engine/survey"
	"pegpour/storage"
)

// concurrentCommits: edits made at once on one stale base through two
// connections all survive.
func concurrentCommits(t *testing.T, s, second storage.Store) {
	ctx := context.Background()
	l := create(t, s, "a")
	stores := []storage.Store{s, second}
	const n = 10
	var wg sync.WaitGroup
	errs := make(chan error, 2*n)
	for tab := range stores {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range n {
				e, err := storage.AddObstruction(l.Document, survey.Obstruction{Name: fmt.Sprint(tab, "/", i)})
				if err == nil {
					_, err = stores[tab].Commit(ctx, l.Document.ID, e, l.Revision)
				}
				errs <- err
			}
		}()
	}
	wg.Wait()
	close(errs)
	for err := range errs {
		if err != nil {
			t.Error(err)
		}
	}
	got := must(s.Load(ctx, l.Document.ID))(t)
	names := map[string]bool{}
	for _, o := range got.Document.Survey.RunBack.Obstructions {
		names[o.Name] = true
	}
	if len(names) != 2*n {
		t.Errorf("%d of %d edits survived: %v", len(names), 2*n, names)
	}
	for range 2 * n {
		if _, err := second.Undo(ctx, l.Document.ID); err != nil {
			t.Fatal(err)
		}
	}
	got = must(s.Load(ctx, l.Document.ID))(t)
	if encoded(t, got.Document) != encoded(t, l.Document) {
		t.Errorf("undo of all: %s", encoded(t, got.Document))
	}
}

func moved(t *testing.T, s storage.Store) {
	stale := create(t, s, "a")
	commit(t, s, stale, setWidth(t, stale, 3000))
	e, err := storage.SetWords(stale.Document, survey.SiteClient, "x")
	n := commit(t, s, stale, must(e, err)(t))
	if !n.Moved || len(n.Overwrote) != 0 || n.Document.Survey.Opening.Width.Size != 3000 ||
		n.Document.Survey.Site.Client != "x" {
		t.Errorf("another field: %+v", n)
	}
	n = commit(t, s, stale, setWidth(t, stale, 3500))
	if !n.Moved || len(n.Overwrote) != 1 || n.Overwrote[0].Path != "/survey/opening/width" ||
		!strings.Contains(string(n.Overwrote[0].Before), "3000") {
		t.Errorf("the same field: %+v", n)
	}
	n = must(s.Undo(context.Background(), stale.Document.ID))(t)
	if n.Document.Survey.Opening.Width.Size != 3000 {
		t.Errorf("undo gives %v, want the value that was replaced", n.Document.Survey.Opening.Width)
	}
}

func hears(t *testing.T, ch <-chan string, want string) {
	t.Helper()
	timeout := time.After(10 * time.Second)
	for {
		select {
		case id := <-ch:
			if id == want {
				return
			}
		case <-timeout:
			t.Errorf("nothing heard of %s", want)
			return
		}
	}
}

func watch(t *testing.T, s storage.Store) {
	ch := make(chan string, 100)
	stop := s.Watch(func(id string) { ch <- id })
	l := create(t, s, "a")
	hears(t, ch, l.Document.ID)
	stop()
	for len(ch) > 0 {
		<-ch
	}
	commit(t, s, l, setWidth(t, l, 3000))
	select {
	case id := <-ch:
		t.Errorf("heard of %s after stop", id)
	case <-time.After(50 * time.Millisecond):
	}
}

func tabsHear(t *testing.T, s, second storage.Store) {
	ch := make(chan string, 100)
	defer second.Watch(func(id string) { ch <- id })()
	l := create(t, s, "a")
	hears(t, ch, l.Document.ID)
}

func restart(t *testing.T, s storage.Store, again func(*testing.T) storage.Store) {
	ctx := context.Background()
	l := create(t, s, "a")
	start := encoded(t, l.Document)
	l = commit(t, s, l, setWidth(t, l, 3000))
	l = commit(t, s, l, setWidth(t, l, 3100))
	now := encoded(t, l.Document)
	l = must(s.Undo(ctx, l.Document.ID))(t)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Load(ctx, l.Document.ID); !errors.Is(err, storage.ErrClosed) {
		t.Errorf("after closing: %v", err)
	}
	s = again(t)
	l = must(s.Redo(ctx, l.Document.ID))(t)
	if encoded(t, l.Document) != now {
		t.Error("redo after a restart differs")
	}
	must(s.Undo(ctx, l.Document.ID))(t)
	l = must(s.Undo(ctx, l.Document.ID))(t)
	if encoded(t, l.Document) != start {
		t.Error("undo after a restart differs")
	}
}
