package e2e

import (
	"net/url"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// deepAddresses are opened without any signal; that they lead to a screen, if
// only to one that says so, is for the app to see to.
var deepAddresses = []string{"/", "/site/xyz", "/site/xyz/set-out", "/anything", "/rules?from=sites#wind", "/settings"}

func TestStartsWithoutSignalAfterKill(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t).Keeping()
	b.Open(t, s.URL+"/").WaitKept()

	s.Kill()
	b.Kill()
	b.Relaunch(t)
	for _, address := range deepAddresses {
		p := b.Open(t, s.URL+address)
		require.Equal(t, s.URL+address, p.Eval("location.href"))
		p.Wait(`document.querySelector("main") && document.querySelector("main").innerText.trim() !== ""`)
		p.Close()
	}
}

func TestNothingLeavesThisMachine(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t).Keeping()
	b.Outside.Caught() // what the browser itself may ask while starting
	var faults []string
	for _, address := range deepAddresses {
		p := b.Open(t, s.URL+address)
		p.WaitKept()
		for _, request := range p.Requests() {
			u, err := url.Parse(request)
			require.NoError(t, err)
			if u.Scheme != "blob" && u.Scheme != "data" && u.Scheme != "about" && "http://"+u.Host != s.URL {
				t.Errorf("%s asked for %s", address, request)
			}
		}
		require.Equal(t, "0", p.Eval(keptElsewhere), "what is typed is kept in the store alone")
		faults = append(faults, p.Faults()...)
		p.Close()
	}
	require.Empty(t, b.Outside.Caught())
	require.Empty(t, faults, "exceptions, console errors and refusals by the content security policy")
}

func TestSaysWhatIsMissing(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), bareFirst)
	b := LaunchBrowser(t).Keeping()

	t.Run("WebAssembly", func(t *testing.T) {
		p := b.NewPage(t)
		p.BeforeScripts("delete globalThis.WebAssembly")
		p.Go(s.URL)
		p.Wait(says("body", "lacks WebAssembly"))
		p.Close()
	})
	t.Run("service worker", func(t *testing.T) {
		p := b.NewPage(t)
		p.BeforeScripts(`Object.defineProperty(Navigator.prototype, "serviceWorker", {value: undefined})`)
		p.Go(s.URL)
		p.WaitRunning()
		p.Wait(`document.querySelector('[data-test="offline"]').innerText === "impossible"`)
		p.Close()
	})
	t.Run("program stopped", func(t *testing.T) {
		p := b.Open(t, s.URL)
		p.Tap(Test("crash"))
		p.Wait(says("body", "Pegpour has stopped"))
		p.Wait(`document.querySelector("main").offsetParent === null`)
		said := strings.Join(p.Faults(), "\n")
		require.Contains(t, said, "stopped on purpose")
		require.Regexp(t, `web/e2e/bare/main\.go:\d+`, said, "where it stopped, without the names of functions")
		p.TapName("Open again")
		p.WaitRunning()
		p.Close()
	})
	t.Run("signal on the first visit", func(t *testing.T) {
		fresh := LaunchBrowser(t)
		p := fresh.NewPage(t)
		p.BeforeScripts(`
			const real = fetch;
			globalThis.fetch = async (address, ...rest) => {
				if (String(address).endsWith(".wasm")) throw new TypeError("no signal");
				return real(address, ...rest);
			};`)
		p.Go(s.URL)
		p.Wait(says("body", "could not be fetched"))
	})
}

func TestShowsHowMuchIsFetched(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), bareFirst)
	slow := startRelay(t, s, relaySlowly)
	b := LaunchBrowser(t)
	p := b.NewPage(t)
	p.Go(slow + "/")
	p.Wait(`!document.getElementById("loading-bar").hidden && document.getElementById("loading-bar").value > 0`)
	p.Wait(`/Fetching \d+ %/.test(document.body.innerText)`)
	if os.Getenv("PEGPOUR_SHOTS") != "" {
		p.Screenshot("loading")
	}
	p.WaitRunning()
	p.Wait(`getComputedStyle(document.getElementById("app-wasm-loader")).display === "none"`)
}
