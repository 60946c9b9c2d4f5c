//go:build js && wasm

package browser

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strings"
	"syscall/js"
	"testing"

	"pegpour/engine/survey"
	"pegpour/storage"
)

// scripts of a database as it stands in the browser, by no code of the program: what
// was stored by a released layout is written down as JSON and put back from it.
const (
	dumpScript = `(name) => new Promise((done, fail) => {
	const r = indexedDB.open(name);
	r.onerror = () => fail(r.error);
	r.onsuccess = async () => {
		const db = r.result, all = {version: db.version, stores: {}};
		for (const store of [...db.objectStoreNames].sort()) {
			const kept = all.stores[store] = {};
			await new Promise((next, broken) => {
				const c = db.transaction(store).objectStore(store).openCursor();
				c.onerror = () => broken(c.error);
				c.onsuccess = () => {
					const at = c.result;
					if (!at) { next(); return; }
					const v = at.value;
					kept[at.key] = typeof v === "string" ? {text: v} :
						{bytes: btoa(String.fromCharCode(...new Uint8Array(v.buffer || v)))};
					at.continue();
				};
			});
		}
		db.close();
		done(JSON.stringify(all));
	};
})`
	loadScript = `(name, text) => new Promise((done, fail) => {
	const all = JSON.parse(text), r = indexedDB.open(name, all.version);
	r.onerror = () => fail(r.error);
	r.onupgradeneeded = () => {
		for (const store in all.stores) {
			const to = r.result.createObjectStore(store);
			for (const key in all.stores[store]) {
				const v = all.stores[store][key];
				to.put("text" in v ? v.text : Uint8Array.from(atob(v.bytes), (c) => c.charCodeAt(0)), key);
			}
		}
	};
	r.onsuccess = () => { r.result.close(); done(""); };
})`
)

// script runs one of them.
func script(t *testing.T, text string, arguments ...any) string {
	t.Helper()
	said, failed := make(chan string, 1), make(chan string, 1)
	hear := func(to chan string) js.Func {
		return js.FuncOf(func(_ js.Value, a []js.Value) any { to <- js.Global().Get("String").Invoke(a[0]).String(); return nil })
	}
	ok, no := hear(said), hear(failed)
	defer ok.Release()
	defer no.Release()
	js.Global().Call("eval", text).Invoke(arguments...).Call("then", ok, no)
	select {
	case s := <-said:
		return s
	case s := <-failed:
		t.Fatal(s)
		return ""
	}
}

// storedLayout puts the stored database of a layout into the browser and returns its
// name and what was put.
func storedLayout(t *testing.T, layout int) (name, dump string) {
	t.Helper()
	answer, err := http.Get(fmt.Sprintf("%s/layout%d.json", js.Global().Get("location").Get("origin").String(), layout))
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil || answer.StatusCode != 200 {
		t.Fatal(answer.Status, err)
	}
	opened++
	name = fmt.Sprint("layout ", layout, " ", opened)
	script(t, loadScript, name, string(text))
	return name, script(t, dumpScript, name)
}

// lookAtStored wants all that every stored database holds.
func lookAtStored(t *testing.T, s storage.Store) {
	t.Helper()
	ctx := context.Background()
	sites, err := s.Sites(ctx)
	if err != nil || len(sites) != 2 {
		t.Fatal(sites, err)
	}
	i := slices.IndexFunc(sites, func(s storage.Summary) bool { return !s.Trashed })
	id := sites[i].ID
	l, err := s.Load(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	if l.Document.Survey.Site.Name != "Mill Lane <6>" || l.Document.Survey.Opening.Width.Size != 4100 || !l.CanUndo || !l.CanRedo {
		t.Fatalf("%+v", l)
	}
	steps, err := s.History(ctx, id)
	if err != nil || len(steps) != 5 {
		t.Fatal(steps, err)
	}
	if _, bytes, err := s.Photo(ctx, l.Document.Photos[0].ID); err != nil || storage.PhotoID(bytes) != l.Document.Photos[0].ID {
		t.Fatal(err)
	}
	shop, err := s.Shop(ctx)
	if err != nil || shop.Shop.Rules["strip.width"] != 230 {
		t.Fatal(shop, err)
	}
	if l, err = s.Redo(ctx, id); err != nil || l.Document.Survey.Opening.Width.Size != 4200 {
		t.Fatal(err)
	}
	e, err := storage.SetValue(l.Document, "opening.width", survey.Measured(4300, survey.ByTape))
	if err != nil {
		t.Fatal(err)
	}
	if _, err = s.Commit(ctx, id, e, ""); err != nil {
		t.Fatal(err)
	}
	if err = s.KeepExchanged(ctx, nil, []storage.Record{{Key: "x", Value: []byte("1")}}); err != nil {
		t.Fatal(err)
	}
}

// A database of every layout that was ever released is opened by the program of today
// with all that it holds.
func TestEveryStoredLayoutIsOpened(t *testing.T) {
	for layout := 1; layout <= databaseVersion; layout++ {
		name, _ := storedLayout(t, layout)
		s, err := OpenNamed(context.Background(), name)
		if err != nil {
			t.Fatal(layout, err)
		}
		lookAtStored(t, s)
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

// A change of the layout that fails on the way leaves the database as it was, with its
// old number, and is made the next time.
func TestALayoutThatCannotBeMadeLeavesAllAsItWas(t *testing.T) {
	for layout := 1; layout < databaseVersion; layout++ {
		for _, put := range []string{"", `this.transaction.objectStore("documents").clear();`} { // also after something was lost on the way
			name, before := storedLayout(t, layout)
			patch := js.Global().Call("eval", `(() => {
				const real = IDBDatabase.prototype.createObjectStore;
				IDBDatabase.prototype.createObjectStore = function (...a) {
					const made = real.apply(this, a);
					`+strings.Replace(put, "this.transaction", "made.transaction", 1)+`
					throw new DOMException("no room", "QuotaExceededError");
				};
				return () => { IDBDatabase.prototype.createObjectStore = real; };
			})()`)
			s, err := OpenNamed(context.Background(), name)
			patch.Invoke()
			if err == nil {
				_ = s.Close()
				t.Fatal("it was made")
			}
			if !errors.Is(err, storage.ErrFull) {
				t.Errorf("%v", err)
			}
			if after := script(t, dumpScript, name); after != before {
				t.Errorf("it was changed:\n%s\n%s", before, after)
			}
			if s, err = OpenNamed(context.Background(), name); err != nil {
				t.Fatal(err)
			}
			lookAtStored(t, s)
			_ = s.Close()
		}
	}
}

// Every table of the program is in a layout, and what was released stays as it is.
func TestLayoutsHoldEveryTable(t *testing.T) {
	var all []string
	for _, l := range layouts {
		all = append(all, strings.Fields(l)...)
	}
	if len(all) != len(storage.Tables()) {
		t.Error(all)
	}
	for _, table := range storage.Tables() {
		if !slices.Contains(all, string(table)) {
			t.Error(table)
		}
	}
	released := []string{"documents heads summaries edits history photos photoinfo", "exchange"}
	if !slices.Equal(layouts[:], released) {
		t.Errorf("released layouts are %q; a new one gets its line here and a stored database", released)
	}
}

// TestWriteStoredLayout makes the database that is kept in testdata/stores for the
// layout of now; TestStoreIsDumped has it printed.
func TestWriteStoredLayout(t *testing.T) {
	s, name := openFresh(t)
	makeStored(t, s)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	dump := script(t, dumpScript, name)
	if !json.Valid([]byte(dump)) {
		t.Fatal(dump)
	}
	if strings.Contains(js.Global().Get("location").Get("search").String(), "page=dump") {
		fmt.Println("DUMP " + dump)
	}
}

// makeStored fills a store with something of everything.
func makeStored(t *testing.T, s storage.Store) {
	t.Helper()
	ctx := context.Background()
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	photo, err := s.PutPhoto(ctx, "image/png", []byte("\x89PNG not a picture"))
	must(err)
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Survey.Site.Name = "Mill Lane <6>"
	d.Photos = []storage.Photo{{ID: photo, Type: "image/png"}}
	l, err := s.Create(ctx, d)
	must(err)
	for _, width := range []float64{4000, 4100, 4200} {
		e, err := storage.SetValue(l.Document, "opening.width", survey.Measured(width, survey.ByTape))
		must(err)
		l, err = s.Commit(ctx, d.ID, e, "")
		must(err)
	}
	_, err = s.Undo(ctx, d.ID)
	must(err)
	other := storage.NewDocument("2026-01-01T00:00:00Z")
	_, err = s.Create(ctx, other)
	must(err)
	must(s.Trash(ctx, other.ID))
	shop, err := s.Shop(ctx)
	must(err)
	e, err := storage.SetShopRule(shop.Shop, "strip.width", 230, "")
	must(err)
	_, err = s.CommitShop(ctx, e)
	must(err)
	must(s.KeepExchanged(ctx, nil, []storage.Record{{Key: "cursor", Value: []byte("12")}}))
}
