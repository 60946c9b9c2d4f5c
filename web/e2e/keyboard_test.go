package e2e

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// focused describes what has the focus: "" when it is the page itself, else its
// name; it complains when the focus cannot be seen.
const focused = `(() => {
	const e = document.activeElement;
	if (!e || e === document.body) return "";
	const s = getComputedStyle(e), ring = e.closest(".open-file, .wide") || e, r = e.getBoundingClientRect();
	const outline = (x) => {
		const o = getComputedStyle(x);
		return o.outlineStyle !== "none" && parseFloat(o.outlineWidth) >= 2;
	};
	const label = e.labels && e.labels[0] && e.labels[0].innerText;
	const name = (e.getAttribute("aria-label") || label || e.innerText || e.id || "").trim();
	if (!outline(e) && !outline(ring)) return "UNSEEN no ring: " + name;
	if (r.bottom < 0 || r.top > innerHeight) return "UNSEEN off the screen: " + name;
	return name;
})()`

// tabTo presses Tab until what holds is focused, seeing to it on the way that
// the focus is seen and gets round.
func tabTo(p *Page, holds string) {
	p.t.Helper()
	for range 150 {
		name := p.Eval(focused)
		if strings.HasPrefix(name, "UNSEEN") {
			p.t.Fatalf("on the way to %s the focus is %s", holds, name)
		}
		if p.Eval("!!("+holds+")") == "true" {
			return
		}
		p.do(typeKeys(kb.Tab))
	}
	p.t.Fatalf("Tab does not come to %s", holds)
}

func focusOn(selector string) string {
	return `document.activeElement && document.activeElement.matches(` + quote(selector) + `)`
}

// The main job by keyboard alone: a site, its opening, a choice, undo, the
// set-out, and the figures of the pour with one opened to its sum.
func TestMainJobByKeyboardAlone(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+"/")
	media(p, "prefers-reduced-motion", "reduce") // else the focus is on its way while it is looked for
	p.Wait(`document.querySelectorAll(".site").length >= 4`)
	tabTo(p, focusOn(`[data-do="new-site"]`))
	p.do(typeKeys("\r"))
	p.Wait(focusOn("#entry"))
	p.do(typeKeys("By keys\r"))
	p.Wait(says("#asked", "Opening") + " && " + focusOn("#entry"))
	p.do(typeKeys("4100\r"))
	p.Wait(`document.querySelector('[data-choice="right"]')`)
	tabTo(p, focusOn(`[data-choice="right"]`))
	p.do(typeKeys("\r"))
	p.Wait(`!document.querySelector('[data-choice="right"]')`)
	tabTo(p, focusOn(`.top [aria-label="Undo"]`))
	p.do(typeKeys("\r"))
	settled(p)
	tabTo(p, focusOn(`.top [aria-label="Redo"]`))
	p.do(typeKeys("\r"))
	settled(p)
	tabTo(p, focusOn(`a.tab[href$="/set-out"]`))
	p.do(typeKeys("\r"))
	p.Wait(drawnLarge + ` && ` + drawnLarge + `.textContent.includes("4100")`)
	require.Contains(t, p.Eval(drawnLarge+`.querySelector("desc").textContent`), "4100")
	tabTo(p, focusOn(`[aria-label="Larger"]`))
	p.do(typeKeys("\r"))
	tabTo(p, focusOn(`a.tab[href$="/pour"]`))
	p.do(typeKeys("\r"))
	p.Wait(`document.querySelector("summary")`)
	tabTo(p, focusOn("summary"))
	p.do(typeKeys("\r"))
	p.Wait(`document.querySelector("details[open]")`)

	// No trap: from here Tab leaves the page at its end.
	seen := map[string]bool{}
	for range 200 {
		p.do(typeKeys(kb.Tab))
		where := p.Eval(`document.activeElement === document.body ? "page"
			: [...document.querySelectorAll("*")].indexOf(document.activeElement)`)
		if where == "page" || seen[where] && len(seen) > 5 {
			break
		}
		seen[where] = true
	}
	require.Greater(t, len(seen), 10, "Tab goes through few controls only: %v", seen)
	require.Empty(t, p.Faults())
}

// What changes by itself is told: results and errors stand in live regions, and
// the drawing's words follow the plan.
func TestChangesAreSpoken(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+at("{angled}/measure?field=opening.width"))
	p.Wait(`document.querySelector("#entry") && ` + drawnSmall)
	require.Equal(t, "true", p.Eval(`!!document.querySelector("#entry-says")
		.closest('[role="status"], [role="alert"], [aria-live]')`))
	require.Contains(t, p.Eval(`document.querySelector("#entry").getAttribute("aria-describedby") || ""`), "entry-says")
	before := p.Eval(drawnSmall + `.querySelector("desc").textContent`)
	p.Eval(`document.querySelector("#entry").select()`)
	p.do(typeKeys("4444"))
	p.Wait(drawnSmall + `.querySelector("desc").textContent.includes("4444")`)
	require.NotEqual(t, before, p.Eval(drawnSmall+`.querySelector("desc").textContent`))
	p.Eval(`document.querySelector("#entry").select()`)
	p.do(typeKeys("4x4"))
	p.Wait(`document.querySelector("#entry").getAttribute("aria-invalid") === "true"`)
}
