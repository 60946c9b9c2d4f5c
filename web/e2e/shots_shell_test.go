package e2e

import (
	"os"
	"testing"
)

// TestShotsOfShell takes pictures of what the shell itself shows, into shots/,
// for people to look at. It is no check.
func TestShotsOfShell(t *testing.T) {
	t.Parallel()
	if os.Getenv("PEGPOUR_SHOTS") == "" {
		t.Skip("make shots takes the pictures")
	}
	s := StartServer(t, requireServer(t), bareFirst)
	b := LaunchBrowser(t).Keeping()
	slow := b.NewPage(t)
	slow.BeforeScripts(`globalThis.fetch = () => new Promise(() => {})`)
	slow.Go(s.URL)
	slow.Wait(`document.getElementById("app-wasm-loader-label").innerText !== ""`)
	slow.Screenshot("starting")

	old := b.Open(t, s.URL)
	old.WaitKept()
	s.Restart(t, bareSecond)
	old.Eval(lookForUpdate)
	old.Text(Test("update-notice"))
	old.Screenshot("update-notice")

	old.Tap(Test("crash"))
	old.Wait(says("body", "Pegpour has stopped"))
	old.Screenshot("stopped")
}
