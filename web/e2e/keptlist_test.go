package e2e

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// heldProgram keeps the program from running until the page calls letGo, as a
// slow phone does for some seconds. Only a page whose session holds it waits.
const heldProgram = `if (sessionStorage.hold) {
		const held = new Promise((go) => window.letGo = go);
		for (const name of ["instantiate", "instantiateStreaming"]) {
			const real = WebAssembly[name];
			WebAssembly[name] = async (...a) => { await held; return real.apply(WebAssembly, a); };
		}
	}`

// heldStore keeps the store from opening until the page calls letStoreGo, as a slow
// phone does. Only a page whose session holds it waits.
const heldStore = `if (sessionStorage.holdStore) {
		const held = new Promise((go) => window.letStoreGo = go);
		const real = IDBFactory.prototype.open;
		IDBFactory.prototype.open = function (...a) {
			const opening = real.apply(this, a);
			opening.addEventListener("success", async (event) => {
				if (!event.isTrusted) return;
				event.stopImmediatePropagation();
				await held;
				opening.dispatchEvent(new Event("success"));
			});
			return opening;
		};
	}`

// A tap while the program already runs and still reads the store opens the site, and
// the list of before does not stay over it. Nor does it when the program goes elsewhere.
func TestListWhileTheProgramReads(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).NewPage(t)
	p.BeforeScripts(heldStore)
	p.Go(s.URL + "/")
	p.Wait(`document.querySelectorAll(".site .thumb svg").length > 3 && (localStorage["pegpour-list"] || "").includes("data-drawn")`)
	settled(p)
	where := p.Eval(`document.querySelector(".site:nth-child(3) a").getAttribute("href")`)

	reading := func() {
		p.Eval(`sessionStorage.holdStore = 1`)
		p.Go(s.URL + "/")
		p.Wait(`document.querySelectorAll(".kept-list .site").length && window.letStoreGo`)
		p.WaitRunning()
		p.Wait(`document.querySelector(".screen-sites:not(.kept-list) [data-list]")`)
	}
	reading()
	p.Tap(".kept-list .site:nth-child(3) a")
	require.Equal(t, "1", p.Eval(`document.querySelectorAll(".kept-list .wanted").length`), "the list stands until the program has its own")
	p.Eval(`letStoreGo()`)
	p.Wait(`location.pathname === ` + quote(where) + ` && document.querySelector("#entry, .choices")`)
	p.Tap(`a.tab[href$="/more"]`)
	require.Equal(t, "null", p.Eval(`document.querySelector(".kept-list")`))
	settled(p)

	reading()
	p.Eval(`goappNav(location.origin + ` + quote(where) + `)`)
	p.Wait(`!document.querySelector(".kept-list")`)
	p.Eval(`letStoreGo()`)
	p.Tap(`a.tab[href$="/more"]`)
	settled(p)
	require.Empty(t, strings.Join(p.Faults(), "\n"))
}

// keptElsewhere counts what is kept beside the store, but for the list of sites
// that the page shows before the program runs and the number of sites.
const keptElsewhere = `Object.keys(localStorage).filter((key) => !["pegpour-list", "pegpour-held"].includes(key)).length`

// The list of sites stands on the page before the program runs, and a tap on it
// counts.
func TestListBeforeTheProgramRuns(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).NewPage(t)
	p.BeforeScripts(heldProgram)
	p.BeforeScripts(`if (sessionStorage.left) {
		localStorage["pegpour-list"] = sessionStorage.left;
		sessionStorage.removeItem("left");
	}`)
	p.Go(s.URL + "/")
	const kept = `(localStorage["pegpour-list"] || "").includes("data-drawn")`
	p.Wait(`document.querySelectorAll(".site .thumb svg").length > 3 && ` + kept)
	settled(p)
	require.Equal(t, "null", p.Eval(`document.querySelector(".kept-list")`), "the first start has nothing to show")
	names := func(within string) string {
		return p.Eval(`[...document.querySelectorAll("` + within + ` .site-name")].map((n) => n.textContent).join("|")`)
	}
	listed := names("")
	where := p.Eval(`document.querySelector(".site:nth-child(3) a").getAttribute("href")`)

	again := func() {
		p.Eval(`sessionStorage.hold = 1`)
		p.Go(s.URL + "/")
		p.Wait(`document.querySelectorAll(".kept-list .site").length`)
		require.Equal(t, "undefined", p.Eval(`document.documentElement.dataset.app`), "the program runs")
	}
	again()
	first := strings.Split(listed, "|")
	all := len(first)
	require.Equal(t, strings.Join(first[:min(all, 8)], "|"), names(".kept-list"), "the first screens of it")
	require.Equal(t, "true", p.Eval(`document.querySelector("#app-wasm-loader").hidden &&
		document.querySelector(".kept-list .thumb svg").getBoundingClientRect().height > 40`))

	// The site tapped last is the one that opens.
	p.Tap(".kept-list .site:nth-child(1) a")
	p.Tap(".kept-list .site:nth-child(3) a")
	require.Equal(t, "1", p.Eval(`document.querySelectorAll(".kept-list .wanted").length`))
	require.Equal(t, `"/"`, quote(p.Eval(`location.pathname`)), "a link loads no page while the program loads")
	p.Eval(`letGo()`)
	p.Wait(`location.pathname === ` + quote(where) + ` && document.querySelector("#entry, .choices")`)
	require.Equal(t, "null", p.Eval(`document.querySelector(".kept-list")`))

	again()
	p.Tap(`.kept-list [data-do="new-site"]`)
	p.Eval(`letGo()`)
	p.Wait(`location.pathname.endsWith("/measure") && document.querySelector("#entry, .choices")`)
	settled(p)

	// With nothing tapped the program's list takes the place, plans and all, and
	// has the new site, which the list kept before has not.
	again()
	had, err := strconv.Atoi(p.Eval(`document.querySelectorAll(".kept-list .site").length`))
	require.NoError(t, err)
	p.Eval(`letGo()`)
	p.Wait(`!document.querySelector(".kept-list") && document.querySelectorAll(".site").length == ` + strconv.Itoa(1+all))
	taken, err := strconv.Atoi(p.Eval(`document.querySelectorAll(".site .thumb[data-drawn] svg").length`))
	require.NoError(t, err)
	require.GreaterOrEqual(t, taken, had, "the small plans were drawn anew")
	settled(p)

	// What another version left, or what cannot be read, is not shown. It is put there
	// before the page begins: the page before may still keep its own list as it is left.
	for _, left := range []string{
		`"{"`, `"null"`, `localStorage["pegpour-list"].replace(/"version":"[^"]*"/, '"version":"older"')`,
	} {
		p.Wait(kept)
		p.Eval(`sessionStorage.left = ` + left)
		p.Go(s.URL + "/")
		p.Wait(`window.letGo && document.readyState === "complete"`)
		require.Equal(t, "null", p.Eval(`document.querySelector(".kept-list")`), left)
		p.Eval(`letGo()`)
		p.Wait(`document.querySelectorAll(".site .thumb svg").length > 3`)
		settled(p)
	}
	require.Empty(t, strings.Join(p.Faults(), "\n"))
}
