//go:build js && wasm

// These tests run inside a browser; TestInChromium starts them there.
package browser

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"syscall/js"
	"testing"
	"time"

	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/storetest"
)

var opened int // names the databases of this run

func openFresh(t *testing.T) (*Store, string) {
	t.Helper()
	opened++
	name := fmt.Sprint("test ", opened)
	s, err := OpenNamed(context.Background(), name)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	return s, name
}

func TestIndexedDB(t *testing.T) {
	last := ""
	open := func(t *testing.T) storage.Store {
		s, name := openFresh(t)
		last = name
		return s
	}
	again := func(t *testing.T) storage.Store {
		s, err := OpenNamed(context.Background(), last)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = s.Close() })
		return s
	}
	storetest.Run(t, open, again)
}

func TestEveryWriteIsStrict(t *testing.T) {
	_, name := openFresh(t)
	b, err := openDatabase(context.Background(), name, databaseVersion)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	err = b.Update(context.Background(), func(tx storage.Tx) error {
		x := tx.(*transaction).tx
		if got := x.Get("durability"); got.Type() == js.TypeString && got.String() != "strict" {
			t.Errorf("durability %v", got)
		}
		if got := x.Get("mode").String(); got != "readwrite" {
			t.Errorf("mode %s", got)
		}
		return tx.Put(storage.TableHeads, "a", []byte("1"))
	})
	if err != nil {
		t.Error(err)
	}
}

func TestBytesComeBack(t *testing.T) {
	s, name := openFresh(t)
	_ = s
	b, err := openDatabase(context.Background(), name, databaseVersion)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	ctx := context.Background()
	for i, value := range []string{"", "text ü \U0001f600", "line\nend", "\xff\xfe raw", "\x00base64,notbase64", "\x00"} {
		for _, table := range []storage.Table{storage.TableDocuments, storage.TablePhotos} {
			key := fmt.Sprint(i)
			if err := b.Update(ctx, func(tx storage.Tx) error { return tx.Put(table, key, []byte(value)) }); err != nil {
				t.Fatal(err)
			}
			if err := b.View(ctx, func(tx storage.Tx) error {
				got, err := tx.Get(table, key)
				if err != nil || got == nil || string(got) != value {
					t.Errorf("%s: %q came back as %q, %v", table, value, got, err)
				}
				all, err := tx.All(table, "")
				if err != nil || len(all) != i+1 || string(all[i].Value) != value {
					t.Errorf("%s: %q in a list: %v, %v", table, value, all, err)
				}
				return err
			}); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func TestFailedTransactionChangesNothing(t *testing.T) {
	_, name := openFresh(t)
	b, err := openDatabase(context.Background(), name, databaseVersion)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	ctx := context.Background()
	broken := errors.New("broken")
	err = b.Update(ctx, func(tx storage.Tx) error {
		if err := tx.Put(storage.TableHeads, "a", []byte("1")); err != nil {
			return err
		}
		return broken
	})
	if !errors.Is(err, broken) {
		t.Errorf("got %v", err)
	}
	stopped, cancel := context.WithCancel(ctx)
	err = b.Update(stopped, func(tx storage.Tx) error {
		if err := tx.Put(storage.TableHeads, "b", []byte("1")); err != nil {
			return err
		}
		cancel()
		_, err := tx.Get(storage.TableHeads, "b")
		return err
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	if err := b.View(ctx, func(tx storage.Tx) error {
		keys, err := tx.Keys(storage.TableHeads, "")
		if len(keys) != 0 {
			t.Errorf("kept %v", keys)
		}
		return err
	}); err != nil {
		t.Error(err)
	}
}

func TestNoIndexedDB(t *testing.T) {
	global, object := js.Global(), js.Global().Get("Object")
	real := object.Call("getOwnPropertyDescriptor", global, "indexedDB")
	if !real.Truthy() {
		t.Fatal("the browser keeps indexedDB elsewhere: change this test")
	}
	defer object.Call("defineProperty", global, "indexedDB", real)
	thrower := js.Global().Get("Function").New("throw new DOMException('no', 'SecurityError')")
	for name, property := range map[string]map[string]any{
		"absent": {"value": js.Undefined()}, "null": {"value": js.Null()}, "thrown": {"get": thrower},
	} {
		property["configurable"] = true
		object.Call("defineProperty", global, "indexedDB", property)
		var e *storage.UnavailableError
		if _, err := OpenNamed(context.Background(), "x"); !errors.As(err, &e) || e.Reason != storage.NoIndexedDB {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestFullDevice makes the browser's put fail as on a full device.
func TestFullDevice(t *testing.T) {
	s, _ := openFresh(t)
	ctx := context.Background()
	l, err := s.Create(ctx, storetest.Site("full"))
	if err != nil {
		t.Fatal(err)
	}
	e, err := storage.SetTick(l.Document, "P1", true)
	if err != nil {
		t.Fatal(err)
	}
	prototype := js.Global().Get("IDBObjectStore").Get("prototype")
	real := prototype.Get("put")
	prototype.Set("put", js.Global().Get("Function").New("throw new DOMException('full', 'QuotaExceededError')"))
	_, err = s.Commit(ctx, l.Document.ID, e, l.Revision)
	prototype.Set("put", real)
	if !errors.Is(err, storage.ErrFull) {
		t.Errorf("got %v, want ErrFull", err)
	}
	if now, err := s.Load(ctx, l.Document.ID); err != nil || now.Revision != l.Revision {
		t.Errorf("the site after that: %+v, %v", now, err)
	}
	if _, err := s.Commit(ctx, l.Document.ID, e, l.Revision); err != nil {
		t.Errorf("once there is room again: %v", err)
	}
}

func TestQuotaErrorIsTyped(t *testing.T) {
	quota := js.Global().Get("DOMException").New("full", "QuotaExceededError")
	if err := storeError(domError{quota}); !errors.Is(err, storage.ErrFull) {
		t.Errorf("got %v", err)
	}
}

func TestPersistAndEstimate(t *testing.T) {
	s, _ := openFresh(t)
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	if _, err := s.Persist(ctx); err != nil {
		t.Error(err)
	}
	if e, err := s.Estimate(ctx); err != nil || e.Quota == 0 {
		t.Errorf("%+v, %v", e, err)
	}
}

// TestManySites keeps 10,000 sites and lists them; the figure is printed, not
// judged.
func TestManySites(t *testing.T) {
	s, name := openFresh(t)
	b, err := openDatabase(context.Background(), name, databaseVersion)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	ctx := context.Background()
	const n = 10_000
	first, err := s.Create(ctx, storetest.Site("A site with a name"))
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Update(ctx, func(tx storage.Tx) error { // its line, under many names
		text, err := tx.Get(storage.TableSummaries, first.Document.ID)
		for i := 1; i < n && err == nil; i++ {
			id := fmt.Sprintf("%05d%s", i, first.Document.ID[5:])
			err = tx.Put(storage.TableSummaries, id, bytes.Replace(text, []byte(first.Document.ID), []byte(id), 1))
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	start := time.Now()
	sites, err := s.Sites(ctx)
	if err != nil || len(sites) != n {
		t.Fatalf("%d sites, %v", len(sites), err)
	}
	fmt.Println("MEASURED list of 10,000 sites:", time.Since(start).Round(time.Millisecond))
	l, err := s.Create(ctx, storetest.Site("one more"))
	if err != nil {
		t.Fatal(err)
	}
	start = time.Now()
	const edits = 50
	for i := range edits {
		e, err := storage.SetValue(l.Document, "opening.width", survey.Measured(3000+float64(i), survey.ByTape))
		if err != nil {
			t.Fatal(err)
		}
		if l, err = s.Commit(ctx, l.Document.ID, e, l.Revision); err != nil {
			t.Fatal(err)
		}
	}
	fmt.Println("MEASURED one edit, strict, beside 10,000 sites:", (time.Since(start) / edits).Round(10*time.Microsecond))
}

// TestPageWriter is no test: it makes edits until the browser is killed, and
// tells each one that the store acknowledged.
func TestPageWriter(t *testing.T) {
	if os.Getenv("PAGE") != "write" {
		t.Skip("runs when the page asks for it")
	}
	ctx := context.Background()
	s, err := OpenNamed(ctx, "killed")
	if err != nil {
		t.Fatal(err)
	}
	sites, err := s.Sites(ctx)
	if err != nil {
		t.Fatal(err)
	}
	var l storage.Loaded
	if len(sites) == 0 {
		l, err = s.Create(ctx, storetest.Site("killed"))
	} else {
		l, err = s.Load(ctx, sites[0].ID)
	}
	if err != nil {
		t.Fatal(err)
	}
	for n := len(l.Document.Ticks); ; n++ {
		e, err := storage.SetTick(l.Document, fmt.Sprintf("edit %05d", n), true)
		if err != nil {
			t.Fatal(err)
		}
		if l, err = s.Commit(ctx, l.Document.ID, e, l.Revision); err != nil {
			t.Fatal(err)
		}
		fmt.Println("ACK", n)
	}
}

// TestPageReader is no test: it tells what the store holds.
func TestPageReader(t *testing.T) {
	if os.Getenv("PAGE") != "read" {
		t.Skip("runs when the page asks for it")
	}
	ctx := context.Background()
	s, err := OpenNamed(ctx, "killed")
	if err != nil {
		t.Fatal(err)
	}
	sites, err := s.Sites(ctx)
	if err != nil || len(sites) > 1 {
		t.Fatalf("%v, %v", sites, err)
	}
	ticks, steps := []string{}, 0
	if len(sites) == 1 {
		l, err := s.Load(ctx, sites[0].ID)
		if err != nil {
			t.Fatal(err)
		}
		for name := range l.Document.Ticks {
			ticks = append(ticks, strings.TrimPrefix(name, "edit "))
		}
		h, err := s.History(ctx, sites[0].ID)
		if err != nil {
			t.Fatal(err)
		}
		steps = len(h)
		if sites[0].Revision != l.Revision || l.CanUndo != (len(ticks) > 0) {
			t.Errorf("list, undo and document disagree: %+v, %+v", sites[0], l)
		}
	}
	fmt.Println("HELD", len(ticks), steps, strings.Join(ticks, ","))
}
