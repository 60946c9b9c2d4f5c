package e2e

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFirefox(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	startsEditsAndReopens(LaunchFirefox(t, ""), s)
}

func TestWebKit(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	startsEditsAndReopens(LaunchWebKit(t), s)
}

// startsEditsAndReopens is the main job as far as engines differ: the list with
// the demo sites, a new site, an opening typed, the drawing that follows, all
// of it there after a reload; and after one without the server where the engine
// keeps the app, or words that say that it does not.
func startsEditsAndReopens(d *Driven, s *Server) {
	t := d.t
	t.Helper()
	d.Go(s.URL + "/")
	d.Wait(`document.querySelectorAll(".site").length >= 5 && document.querySelectorAll(".thumb svg").length >= 4`)
	d.Screenshot("sites")
	d.Tap(`[data-do="new-site"]`)
	d.Wait(`location.pathname.endsWith("/measure") && document.querySelector("#asked")`)
	site := strings.TrimSuffix(d.Eval("location.pathname"), "/measure")
	opening := s.URL + site + "/measure?field=opening.width"
	d.Go(opening)
	d.Tap("#entry")
	d.Keys("4350")
	d.Wait(`document.querySelector("#entry").value === "4350"`)
	d.Wait(drawnSmall + ` && ` + drawnSmall + `.textContent.includes("4350")`)
	// By our own keypad, with the pointer.
	d.Tap(`[data-key="erase"]`)
	d.Tap(`[data-key="5"]`)
	d.Wait(drawnSmall + `.textContent.includes("4355")`)
	d.Screenshot("measure")
	d.Wait(`document.documentElement.dataset.unsaved === "0"`)
	d.Go(opening)
	d.Wait(`document.querySelector("#entry") && document.querySelector("#entry").value === "4355"`)

	d.Wait(`pegpourShell.offline !== "preparing"`)
	switch kept := d.Eval("pegpourShell.offline"); kept {
	case "ready":
		d.Wait(`navigator.serviceWorker.controller !== null`)
		s.Kill()
		d.Go(opening)
		d.Wait(`document.querySelector("#entry") && document.querySelector("#entry").value === "4355"`)
		d.Go(s.URL + site + "/set-out")
		d.Wait(drawnLarge + ` && ` + drawnLarge + `.textContent.includes("4355")`)
		t.Logf("%s: starts without its server", d.engine)
	case "impossible", "failed":
		d.Go(s.URL + "/")
		d.Wait(`document.body.querySelector("#not-kept")`)
		t.Logf("%s: cannot keep the app (%s), and says so", d.engine, kept)
	default:
		t.Fatalf("%s: use without signal is %q", d.engine, kept)
	}
}

// Without a service worker the app works while its server is there, and says
// that it does not without; what else is missing stands under Keep safe.
func TestFirefoxWithoutServiceWorker(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	d := LaunchFirefox(t, `user_pref("dom.serviceWorkers.enabled", false);`)
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	require.NoError(t, d.open(ctx, s.URL+"/"))
	d.Wait(`document.documentElement.dataset.app === "running"`)
	d.Wait(says("#not-kept", "only while its server is in reach"))
	d.Go(s.URL + "/safe")
	d.Wait(says("#lacks", "without signal"))
}

// A page that is left in the middle of a write must not shut the store for the
// next one: WebKit keeps it asleep with its transaction open.
func TestWebKitLeftInTheMiddleOfAWrite(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	d := LaunchWebKit(t)
	d.Go(s.URL + "/")
	d.Wait(`document.querySelectorAll(".site").length >= 5 && document.documentElement.dataset.unsaved === "0"`)
	// WebKit may keep a page that was left for longer than it is waited for: the page then
	// says that its store does not answer, and what it offers helps.
	entry := func() {
		d.Wait(`document.querySelector('#entry, [data-do="load-again"]')`)
		if d.Eval(`String(!!document.querySelector('[data-do="load-again"]'))`) == "true" {
			t.Log("the store did not answer at first")
			d.Tap(`[data-do="load-again"]`)
		}
		d.Wait(`document.querySelector("#entry")`)
	}
	for range 2 {
		d.Tap(`[data-do="new-site"]`)
		d.Wait(`location.pathname.endsWith("/measure") && document.querySelector("#asked")`)
		opening := s.URL + strings.TrimSuffix(d.Eval("location.pathname"), "/measure") + "/measure?field=opening.width"
		for range 3 {
			d.Go(opening)
			entry()
			// Edits one after another, and away while they are being kept.
			d.Eval(`(() => {
				const e = document.querySelector("#entry");
				for (let i = 0; i < 30; i++) {
					e.value = String(4000 + i);
					e.dispatchEvent(new InputEvent("input", {bubbles: true}));
				}
			})()`)
		}
		d.Go(opening)
		entry()
		d.Tap(`[data-key="erase"]`)
		d.Wait(`document.documentElement.dataset.unsaved === "0"`)
		d.Go(s.URL + "/")
		d.Wait(`document.querySelectorAll(".site").length >= 5`)
	}
}
