package e2e

import (
	"net/http"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"
)

// lookForUpdate does what coming back into reach of a signal does.
const lookForUpdate = `window.dispatchEvent(new Event("online"))`

// keptVersions lists the versions of which files are kept.
const keptVersions = `caches.keys().then((names) => names.sort().join(" "))`

// tidied asks the worker to remove what no page uses and waits until it has: it
// answers in turn, and holds the lock while it removes.
const tidied = `(async () => {
	const worker = navigator.serviceWorker.controller, channel = new MessageChannel();
	const answered = new Promise((done) => (channel.port1.onmessage = done));
	worker.postMessage({type: "tidy"});
	worker.postMessage({type: "version"}, [channel.port2]);
	await answered;
	await navigator.locks.request("pegpour-caches", () => {});
})()`

func waitOnlyKept(p *Page, version string) {
	p.t.Helper()
	p.Wait(`(` + keptVersions + `.then((names) => window.keptNow = names), window.keptNow === "pegpour-` + version + `")`)
}

func TestUpdateWaitsToBeAskedAndKeepsTheEdit(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), bareFirst)
	first := readWorker(t, s)
	p := LaunchBrowser(t).Keeping().Open(t, s.URL+"/site/xyz/measure")
	p.WaitKept()
	require.Equal(t, first.Version, p.Text(Test("version")))
	require.Equal(t, "false", p.Eval(`document.querySelector('[data-test="update-notice"]') !== null`))
	p.Type(Test("note"), "footing at 32")

	s.Restart(t, bareSecond)
	second := readWorker(t, s)
	require.NotEqual(t, first.Version, second.Version)
	require.NotEqual(t, first.wasm(t), second.wasm(t))
	p.Eval(lookForUpdate)
	p.Text(Test("update-notice"))

	// Nothing has changed under the edit, and typing goes on.
	require.Equal(t, first.Version, p.Text(Test("version")))
	p.Type(Test("note"), "04")
	require.Equal(t, "footing at 3204", p.Value(Test("note")))

	p.TapName("Update now")
	p.Wait(`window.pegpourShell && pegpourShell.version === "` + second.Version + `"`)
	p.WaitRunning()
	require.Equal(t, second.Version, p.Text(Test("version")))
	require.Equal(t, "footing at 3204", p.Value(Test("note")))
	require.Equal(t, "/site/xyz/measure", p.Text(Test("address")))
	p.Wait(`!document.querySelector('[data-test="update-notice"]')`)

	// Once only: the mark would go with another reload. The old files go, since
	// no page uses them.
	p.Eval(`window.mark = "still here"`)
	waitOnlyKept(p, second.Version)
	require.Equal(t, "still here", p.Eval("window.mark"))
	require.Empty(t, p.Faults())
}

func TestReloadIsNoConsent(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), bareFirst)
	first := readWorker(t, s)
	p := LaunchBrowser(t).Keeping().Open(t, s.URL+"/")
	p.WaitKept()
	s.Restart(t, bareSecond)
	p.Eval(lookForUpdate)
	p.Text(Test("update-notice"))

	p.Reload()
	require.Equal(t, first.Version, p.Text(Test("version")))
	p.Text(Test("update-notice")) // and it is offered again
}

func TestOtherTabKeepsItsVersion(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), bareFirst)
	first := readWorker(t, s)
	b := LaunchBrowser(t).Keeping()
	here := b.Open(t, s.URL+"/")
	here.WaitKept()
	there := b.Open(t, s.URL+"/site/there")
	there.WaitKept()
	there.Type(Test("note"), "half a wo")

	s.Restart(t, bareSecond)
	second := readWorker(t, s)
	here.Eval(lookForUpdate)
	here.Tap(Test("update-now"))
	here.Wait(`window.pegpourShell && pegpourShell.version === "` + second.Version + `"`)
	here.WaitRunning()
	here.WaitKept()

	// The other tab goes on as it was, is told, and still gets its own program,
	// which the server no longer has.
	there.Text(Test("update-notice"))
	require.Equal(t, first.Version, there.Text(Test("version")))
	require.Equal(t, "half a wo", there.Value(Test("note")))
	status, _, _ := s.Get(t, first.wasm(t), "")
	require.Equal(t, http.StatusNotFound, status)
	here.Eval(tidied)
	require.Contains(t, here.Eval(keptVersions), first.Version)
	require.Equal(t, "200", there.Eval(`fetch("`+first.wasm(t)+`", {cache: "no-store"}).then((r) => r.status)`))
	require.Equal(t, first.Version, there.Eval("pegpourShell.version"))

	// It changes over when asked to, with its edit; then the old files may go.
	there.Tap(Test("update-now"))
	there.Wait(`window.pegpourShell && pegpourShell.version === "` + second.Version + `"`)
	there.WaitRunning()
	require.Equal(t, "half a wo", there.Value(Test("note")))
	waitOnlyKept(there, second.Version)
}

func TestHalfAVersionIsNotKept(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), bareFirst)
	first := readWorker(t, s)
	var spoil atomic.Bool
	relay := startRelay(t, s, func(r *http.Response) error {
		if spoil.Load() {
			return relayMissing(r)
		}
		return nil
	})
	p := LaunchBrowser(t).Keeping().Open(t, relay+"/")
	p.WaitKept()

	// The new version arrives without its program, then whole.
	s.Restart(t, bareSecond)
	second := readWorker(t, s)
	spoil.Store(true)
	require.Equal(t, "redundant", p.Eval(`(async () => {
		const registration = await navigator.serviceWorker.getRegistration();
		const next = (target, event) => new Promise((done) => target.addEventListener(event, done, {once: true}));
		const found = next(registration, "updatefound").then(() => registration.installing);
		await registration.update().catch(() => {});
		const worker = await found;
		while (worker.state === "installing") await next(worker, "statechange");
		return worker.state;
	})()`))
	require.Equal(t, "pegpour-"+first.Version, p.Eval(keptVersions))
	require.Equal(t, "false", p.Eval("pegpourShell.updateReady"))

	spoil.Store(false)
	p.Eval(lookForUpdate)
	p.Tap(Test("update-now"))
	p.Wait(`window.pegpourShell && pegpourShell.version === "` + second.Version + `"`)
	p.WaitRunning()
}

func TestSpoiledFileIsNotKept(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), bareFirst)
	relay := startRelay(t, s, relaySpoiled)
	p := LaunchBrowser(t).Keeping().Open(t, relay+"/")
	p.Wait(`document.querySelector('[data-test="offline"]').innerText === "failed"`)
	require.Equal(t, "", p.Eval(keptVersions))
}
