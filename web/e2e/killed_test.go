package e2e

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/cdproto/systeminfo"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// halts stops the page for good at one step of a key's way to the disk, so that
// what is killed then was killed there: nothing of the page runs on.
const halts = `
	window.haltAt = window.haltNext = "";
	const halt = (step) => {
		if (window.haltAt !== step) return;
		console.info("halted at " + step);
		for (;;);
	};
	addEventListener("pointerdown", () => {
		window.haltAt = window.haltNext; // from here on, not in what an edit before still does
		halt("pressed");
	}, true);
	addEventListener("click", () => halt("heard"));
	const begin = IDBDatabase.prototype.transaction;
	IDBDatabase.prototype.transaction = function (names, mode, ...rest) {
		const t = begin.call(this, names, mode, ...rest);
		if (mode === "readwrite") {
			if (window.haltAt) t.addEventListener("complete", () => halt("complete")); // not of one begun before
			halt("begun");
		}
		return t;
	};
	const put = IDBObjectStore.prototype.put;
	IDBObjectStore.prototype.put = function (...given) {
		const request = put.apply(this, given);
		request.addEventListener("success", () => halt("answered"));
		halt("asked");
		return request;
	};
	const commit = IDBTransaction.prototype.commit;
	IDBTransaction.prototype.commit = function () {
		commit.call(this);
		halt("committing");
	};
`

const (
	widthAsked = "/site/00000000-0000-4000-8000-000000000001/measure?field=opening.width"
	entryThere = `document.querySelector("#drawing-small svg") && document.querySelector("#entry")`
	saidKept   = `getComputedStyle(document.querySelector(".kept-yes") || document.head).visibility === "visible" &&
		document.querySelector(".kept-yes") !== null`
)

// console tells the texts of the page's console as they come.
func (p *Page) console() <-chan string {
	p.t.Helper()
	said := make(chan string, 1000)
	err := chromedp.Listen(p.ctx, func(event any) {
		if e, is := event.(*runtime.EventConsoleAPICalled); is && len(e.Args) > 0 {
			said <- string(e.Args[0].Value)
		}
	})
	require.NoError(p.t, err)
	return said
}

// killTabs ends the processes of all tabs and workers, as the system does with a
// page that takes too much memory.
func (b *Browser) killTabs(t testing.TB) {
	t.Helper()
	all, err := chromedp.CallBrowser(b.root, systeminfo.GetProcessInfo, cdp.Empty{})
	require.NoError(t, err)
	killed := 0
	for _, p := range all.ProcessInfo {
		if p.Type == "renderer" {
			require.NoError(t, syscall.Kill(int(p.ID), syscall.SIGKILL))
			killed++
		}
	}
	require.Positive(t, killed)
}

// A browser or a tab that is killed at any step of a key's way to the disk leaves
// all that was said to be kept, and of the last key all or nothing.
func TestKilledAtEachStepOfAKey(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	for _, killed := range []string{"browser", "tab"} {
		t.Run(killed, func(t *testing.T) {
			b := LaunchBrowser(t)
			for _, step := range []string{"pressed", "heard", "begun", "asked", "answered", "committing", "complete", "said"} {
				p := b.NewPage(t)
				p.BeforeScripts(halts)
				said := p.console()
				p.Go(s.URL + widthAsked)
				p.WaitRunning()
				p.Wait(entryThere)
				p.Eval(fill("#entry", "425"))
				settled(p)
				p.Eval(`void (document.querySelector("#entry").focus(), document.querySelector("#entry").setSelectionRange(9, 9), window.haltNext = ` + quote(step) + `)`)
				pressAndForget(p, `[data-key="0"]`)
				if step == "said" {
					p.Wait(`document.querySelector("#entry").value === "4250"`)
					p.Wait(saidKept)
				} else {
					heard(t, said, "halted at "+step)
				}
				if killed == "browser" {
					b.Kill()
					b.Relaunch(t)
				} else {
					b.killTabs(t)
					p.Close()
				}
				p = b.Open(t, s.URL+widthAsked)
				p.Wait(entryThere)
				settled(p)
				found := p.Value("#entry")
				switch step {
				case "pressed":
					require.Equal(t, "425", found, step)
				case "complete", "said":
					require.Equal(t, "4250", found, step)
				default:
					require.Contains(t, []string{"425", "4250"}, found, step)
				}
				t.Logf("%s killed when %s: %s", killed, step, found)
				require.Empty(t, p.Faults())
				p.Close()
			}
		})
	}
}

// Firefox that is killed leaves what was said to be kept, and of a key on its way all
// or nothing. (WebKitGTK keeps nothing from one automated start to the next.)
//
// It is killed once the worker has kept the app. Killed while that is being kept, Firefox
// 153 counts what it throws away of it twice: its estimate of what is used falls below zero
// (18446744073699015000 bytes), and it refuses every write of that run as if it were full.
// The page then says that nothing more is kept; the next start of Firefox counts anew.
func TestFirefoxKilled(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	profile := scratch(t)
	require.NoError(t, os.WriteFile(filepath.Join(profile, "user.js"), []byte(firefoxSettings), 0o600))
	kept, last := "4000", ""
	for _, typed := range []string{"4110", "4120", "4130"} {
		d, kill := launchFirefoxOn(t, profile)
		d.Go(s.URL + widthAsked)
		d.Wait(entryThere)
		found := d.Eval(`document.querySelector("#entry").value`)
		require.Contains(t, []string{kept, last}, found)
		d.Wait(`window.pegpourShell && ["ready", "impossible", "failed"].includes(pegpourShell.offline)`)
		d.Eval(fill("#entry", typed))
		d.Wait(`document.documentElement.dataset.unsaved === "0"`)
		d.Wait(saidKept)
		kept, last = typed, typed[:3]+"9"
		d.Eval(fill("#entry", last)) // and not waited for
		kill()
	}
	d, _ := launchFirefoxOn(t, profile)
	d.Go(s.URL + widthAsked)
	d.Wait(entryThere)
	require.Contains(t, []string{kept, last}, d.Eval(`document.querySelector("#entry").value`))
}

// pressAndForget presses an element and does not wait for the page to answer.
func pressAndForget(p *Page, selector string) {
	p.t.Helper()
	at := p.spotIn(selector, 0.5, 0.5)
	ctx, cancel := context.WithCancel(p.ctx)
	p.t.Cleanup(cancel)
	go chromedp.Run(ctx, chromedp.TapXY(at.X, at.Y))
}

// heard waits until the console says the words.
func heard(t testing.TB, said <-chan string, words string) {
	t.Helper()
	for end := time.After(patience); ; {
		select {
		case s := <-said:
			if strings.Contains(s, words) {
				return
			}
		case <-end:
			t.Fatalf("the page never said %q", words)
		}
	}
}

// A profile on a full disk: what was kept stays, what is typed is not said to be
// kept, and is once there is room.
func TestProfileOnAFullDisk(t *testing.T) {
	t.Parallel()
	disk := scratch(t)
	if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, "size=500m"); err != nil {
		t.Skipf("a small disk cannot be mounted here: %v", err)
	}
	s := StartServer(t, requireServer(t), realBundle)
	t.Cleanup(func() { require.NoError(t, syscall.Unmount(disk, syscall.MNT_DETACH)) }) // once nothing uses it
	b := launchBrowserOn(t, filepath.Join(disk, "profile"), false).Keeping()
	p := b.Open(t, s.URL+widthAsked)
	p.Wait(entryThere)
	p.Eval(fill("#entry", "4100"))
	settled(p)
	p.Wait(saidKept)
	p.Go(s.URL + "/") // the list notes how much there is
	p.WaitRunning()
	p.Wait(`localStorage.getItem("pegpour-held") === "1"`)
	time.Sleep(8 * time.Second) // Chromium writes that down some seconds later
	p.Go(s.URL + widthAsked)
	p.WaitRunning()
	p.Wait(entryThere)

	empty := fillDisk(t, disk)
	t.Cleanup(func() { empty() })
	// A little still fits on a full disk at times, and then it is kept.
	const toldNotKept = `!!document.body?.innerText.match(/no room|Nothing can be kept/)` // Chromium may only say that its store failed
	// Chromium may throw the site away while the disk is full: then that is said, with what was typed.
	const gone = `!document.querySelector("#entry") && !!document.body?.innerText.match(/cannot be kept|cannot be opened|threw away/)`
	enter := func(value string) (there bool) {
		p.Wait(`document.querySelector("#entry") || ` + gone)
		return p.Eval(`(() => { if (!document.querySelector("#entry")) return "no"; `+fill("#entry", value)+`; return "yes"; })()`) == "yes"
	}
	for typed := 4200; p.Eval(toldNotKept) != "true"; typed++ {
		require.Less(t, typed, 4240, "with the disk full")
		if !enter(strconv.Itoa(typed)) {
			p.Wait(gone)
			return
		}
		time.Sleep(time.Second)
	}
	if !enter("4300") {
		p.Wait(gone)
		return
	}
	require.Equal(t, "false", p.Eval(saidKept), "with the disk full")
	require.NotEqual(t, "0", p.Eval(`document.documentElement.dataset.unsaved`))
	empty()
	// It tries by itself too: the button may be gone before a finger is on it. Chromium then
	// writes, or has thrown the site away, which is said of what was typed, or answers
	// nothing more until it is started again, and the page goes on saying so.
	p.Eval(`[...document.querySelectorAll("button")].find((b) => b.innerText === "Try again")?.click()`)
	const thrown = `!!document.body?.innerText.match(/cannot be kept[^]*4300/)`
	kept := false
	for end := time.Now().Add(20 * time.Second); ; time.Sleep(time.Second) {
		kept = p.Eval(`document.documentElement?.dataset.unsaved === "0" && `+saidKept) == "true"
		if kept || p.Eval(thrown) == "true" || time.Now().After(end) {
			break
		}
	}
	if !kept && p.Eval(thrown) != "true" {
		require.Equal(t, "true", p.Eval(toldNotKept+` && document.querySelector("#entry").value === "4300"`), "no way out")
	}
	b.Kill()
	b.Relaunch(t)
	p = b.Open(t, s.URL+widthAsked)
	p.Wait(entryThere + ` || document.body.innerText.includes("This browser threw away what it kept here")`)
	p.Wait(entryThere)
	found := p.Value("#entry")
	was, err := strconv.Atoi(found)
	require.NoError(t, err)
	lost := kept && found != "4300" || !kept && was < 4100
	if lost { // a store that could not be written may be thrown away by Chromium when it is opened again
		lossSaid(p, "4300")
	}
	if found != "4300" {
		p.Eval(fill("#entry", "4300"))
		settled(p)
	}
	t.Log("thrown away: ", lost)

	// Killed while it is full: what was said to be kept is there, or that it is not is said.
	empty = fillDisk(t, disk)
	p.Eval(fill("#entry", "4400"))
	time.Sleep(time.Second)
	kept = p.Eval(saidKept) == "true"
	b.Kill()
	empty()
	b.Relaunch(t)
	p = b.Open(t, s.URL+widthAsked)
	p.Wait(entryThere)
	switch found := p.Value("#entry"); {
	case found == "4400":
	case found != "4300" || kept:
		lossSaid(p, "4400")
	}
}

// lossSaid waits until a loss is said: as that of all that was kept, or, where it was
// found out later, by each change that has no place any more.
func lossSaid(p *Page, typed string) {
	p.t.Helper()
	const all = `document.body.innerText.includes("This browser threw away what it kept here")`
	p.Wait(all + ` || document.body.innerText.match(/cannot be kept[^]*` + typed + `/)`)
	if p.Eval(all) == "true" {
		p.TapName("Seen")
	}
	for p.Eval(`[...document.querySelectorAll("button")].some((b) => b.innerText === "Drop it")`) == "true" {
		p.TapName("Drop it")
		time.Sleep(100 * time.Millisecond)
	}
}

// fillDisk keeps a disk full, whatever the browser throws away to make room, until
// it is told to empty it.
func fillDisk(t testing.TB, disk string) (empty func()) {
	t.Helper()
	name := filepath.Join(disk, "full")
	f, err := os.Create(name)
	require.NoError(t, err)
	fill := func() {
		for size := 1 << 20; size > 0; {
			if n, err := f.Write(make([]byte, size)); err != nil || n < size {
				size /= 2
			}
		}
	}
	fill()
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		for tick := time.NewTicker(5 * time.Millisecond); ; {
			select {
			case <-tick.C:
				fill()
			case <-stop:
				f.Close()
				return
			}
		}
	}()
	return sync.OnceFunc(func() {
		close(stop)
		<-stopped
		os.Remove(name)
	})
}

// tables counts what lies in the tables of the app's store, past the app.
const tables = `new Promise((then) => {
	indexedDB.open("pegpour").onsuccess = (e) => {
		const db = e.target.result, names = [...db.objectStoreNames];
		let all = 0, left = names.length;
		if (!left) { db.close(); then("0"); return; }
		const t = db.transaction(names);
		for (const name of names) t.objectStore(name).count().onsuccess = (e) => {
			all += e.target.result;
			if (!--left) { db.close(); then(String(all)); }
		};
	};
})`

// The connection to the store is closed under the app, the store is taken away, a
// newer version takes it over, the clock goes back years: what is typed is kept, or
// not said to be.
func TestStoreLostUnderTheApp(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	begin := func(t *testing.T, script string) *Page {
		t.Helper()
		p := b.NewPage(t)
		if script != "" {
			p.BeforeScripts(script)
		}
		p.Go(s.URL + widthAsked)
		p.WaitRunning()
		p.Wait(entryThere)
		settled(p)
		return p
	}
	reopened := func(t *testing.T, want string) {
		t.Helper()
		p := begin(t, "")
		require.Equal(t, want, p.Value("#entry"))
		p.Close()
	}
	t.Run("connection closed", func(t *testing.T) {
		p := begin(t, `
			window.connections = [];
			const transaction = IDBDatabase.prototype.transaction;
			IDBDatabase.prototype.transaction = function (...given) {
				if (!connections.includes(this)) connections.push(this);
				return transaction.apply(this, given);
			};`)
		p.Eval(fill("#entry", "4110"))
		settled(p)
		p.Eval(`void connections.forEach((db) => { db.close(); db.dispatchEvent(new Event("close")); })`)
		p.Eval(fill("#entry", "4120"))
		settled(p)
		p.Wait(saidKept)
		p.Eval(`void connections.forEach((db) => db.close())`) // and nobody said so
		p.Eval(fill("#entry", "4130"))
		settled(p)
		p.Wait(saidKept)
		require.Empty(t, p.Faults())
		p.Close()
		reopened(t, "4130")
	})
	t.Run("clock set back", func(t *testing.T) {
		p := begin(t, `
			const now = Date.now, years = 9 * 365 * 86400e3;
			Date.now = () => now() - years;
			Date = class extends Date {
				constructor(...given) { given.length ? super(...given) : super(now() - years); }
			};`)
		require.Equal(t, "true", p.Eval(`new Date().getFullYear() < 2020`))
		p.Eval(fill("#entry", "4140"))
		settled(p)
		p.Wait(saidKept)
		require.Empty(t, p.Faults())
		p.Close()
		reopened(t, "4140")
		p = begin(t, "")
		p.Eval(fill("#entry", "4150"))
		settled(p)
		p.Close()
		reopened(t, "4150")
	})
	t.Run("taken away by the browser", func(t *testing.T) {
		p := begin(t, "")
		before := p.Eval(tables)
		require.NotEqual(t, "0", before)
		p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
			_, err := cdp.Call(ctx, target, storage.ClearDataForOrigin,
				storage.ClearDataForOriginParams{Origin: s.URL, StorageTypes: "indexeddb"})
			return err
		}))
		p.Eval(fill("#entry", "4160"))
		time.Sleep(2 * time.Second)
		require.Equal(t, "false", p.Eval(saidKept), "nothing of the site is there")
		p.Wait(says("body", "cannot be kept"))
		p.Wait(says("body", "4160")) // what was typed, to copy or to save
		p.Close()
	})
	t.Run("taken over by a newer version", func(t *testing.T) {
		p := begin(t, "")
		before := p.Eval(tables)
		p.Eval(`new Promise((then, fail) => {
			const request = indexedDB.open("pegpour", 99);
			request.onsuccess = (e) => (e.target.result.close(), then());
			request.onerror = fail;
		})`)
		p.Eval(fill("#entry", "4170"))
		time.Sleep(time.Second)
		require.Equal(t, "false", p.Eval(saidKept))
		require.Equal(t, before, p.Eval(tables))
		p.Close()
	})
}
