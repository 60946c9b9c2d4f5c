package e2e

import (
	"context"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// signOn draws a signature on a field.
func signOn(p *Page, id string) {
	p.t.Helper()
	selector := "#" + id
	p.Eval(`new Promise((good) => { // the page may still be drawn: not before the field stands still
		let at = NaN, same = 0;
		const look = () => {
			const field = document.querySelector(` + quote(selector) + `);
			if (field) field.scrollIntoView({block: "center", behavior: "instant"});
			const top = field ? field.getBoundingClientRect().top : NaN;
			same = top === at ? same + 1 : 0;
			at = top;
			if (same > 20) return good("");
			requestAnimationFrame(look);
		};
		look();
	})`)
	tell := func(what input.DispatchMouseEventType, across, down float64) {
		at := p.spotIn(selector, across, down)
		event := input.DispatchMouseEventParams{Type: what, X: at.X, Y: at.Y, Button: input.MouseButtonLeft, ClickCount: 1}
		p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
			_, err := cdp.Call(ctx, target, input.DispatchMouseEvent, event)
			return err
		}))
	}
	tell(input.DispatchMouseEventTypeMousePressed, 0.1, 0.6)
	for i := range 9 {
		tell(input.DispatchMouseEventTypeMouseMoved, 0.1+0.09*float64(i), 0.3+0.4*float64(i%2))
	}
	tell(input.DispatchMouseEventTypeMouseReleased, 0.9, 0.3)
}

// A gate is tested in the order that keeps people whole, signed for with no signal, and
// says when something changes after that.
func TestHandOver(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+angledSite+"/more")
	p.WaitRunning()
	p.Wait(`document.querySelector(".tiles")`)
	p.Screenshot("job")
	p.Tap(`a.tile[href$="/build/hand-over"]`)
	p.Wait(`document.querySelector(".test")`)
	p.Screenshot("hand-over")
	require.Equal(t, "stopShut", p.Eval(`document.querySelector(".test-here .test-head").dataset.test`))

	// Power is closed while the stops are not tried.
	p.Tap(`[data-test="force closing"]`)
	p.Wait(`document.querySelector(".test-here .bar-stop")`)
	require.Equal(t, "0", p.Eval(`document.querySelectorAll('[data-do^="force-"]').length`))
	testAndSign(p)
	p.Wait(`document.documentElement.dataset.unsaved === "0"`)
	p.Reload()
	p.Wait(says(".signing", "All tests passed, and both signed."))

	// The record and the owner's page are made.
	p.Tap(`[data-pack="handOver"]`)
	p.Wait(`document.querySelectorAll("[data-file]").length === 2`)

	// What changes afterwards is said.
	p.Tap(`[data-test="stopOpen"]`)
	p.Tap(`[data-answer="fails"]`)
	p.Wait(says(".signing", "Something changed since it was signed"))
	p.Tap(`a.tab[href$="/more"]`)
	p.Wait(says(".how-far", "handed over"))
	assert.Empty(t, p.Faults())
}

// testAndSign does the tests of the hand-over in their order and signs for both.
func testAndSign(p *Page) {
	p.t.Helper()
	p.Tap(`[data-test="stopShut"]`)
	p.Wait(`document.querySelector('[data-answer="holds"]')`)
	p.Tap(`[data-answer="holds"]`)
	p.Wait(`document.querySelector(".test-here .test-head").dataset.test === "stopOpen"`)
	p.Tap(`[data-answer="fails"]`)
	p.Wait(says(".test-here", "runs off its track"))
	p.Tap(`[data-answer="holds"]`)
	p.Wait(`document.querySelector(".test-here .test-head").dataset.test === "released"`)
	p.Tap(`[data-answer="stays"]`)
	p.Wait(`document.querySelector(".test-here .test-head").dataset.test === "pull" && document.getElementById("entry")`)
	still := func() {
		p.Eval(`new Promise((good) => requestAnimationFrame(() => requestAnimationFrame(() => good(""))))`)
	}
	keys := func(digits string) {
		for _, key := range digits {
			still()
			p.Tap(`[data-types="` + string(key) + `"]`)
		}
		p.Tap(`[data-key="next"]`)
	}
	keys("120")
	p.Wait(`document.querySelector(".test-here .test-head").dataset.test === "force closing"`)
	for _, gap := range []string{"50", "300", "500"} {
		still()
		p.Tap(`[data-do="force-` + gap + `"]`)
		p.Wait(`document.getElementById("entry") && document.getElementById("entry").dataset.entry.endsWith(".peak")`)
		keys("140")
	}
	p.Wait(says(`[data-test="force closing"]`, "passed"))
	p.Screenshot("hand-over forces")
	p.Wait(`document.querySelector(".test-here .test-head").dataset.test === "force opening"`)
	p.Tap(`[data-do="force-300"]`)
	p.Wait(`document.getElementById("entry") && document.getElementById("entry").dataset.entry.endsWith(".peak")`)
	keys("130")
	p.Wait(says(`[data-test="force opening"]`, "passed"))
	for _, test := range []string{"reverses", "beams", "shown"} {
		p.Wait(`document.querySelector(".test-here .test-head").dataset.test === "` + test + `"`)
		still()
		p.Tap(`[data-answer="yes"]`)
	}
	p.Wait(`document.querySelector("#fitter")`)

	// Who measured is proposed and taken with the signature; a signature with no name is
	// named; with names all is done.
	require.Equal(p.t, "~ Demo crew", p.Eval(`document.querySelector("#fitter").placeholder`))
	require.Empty(p.t, p.Value("#fitter"))
	require.Empty(p.t, p.Eval(`document.querySelector("#owner").placeholder`), "nobody is the client")
	still()
	signOn(p, "sign-fitterSign")
	p.Wait(`document.querySelectorAll(".sign-box button").length === 1 && document.querySelector("#fitter").value === "Demo crew"`)
	still()
	signOn(p, "sign-ownerSign")
	p.Wait(`document.querySelectorAll(".sign-box button").length === 2`)
	p.Wait(says(".signing", "The owner signs, with a name."))
	p.Type("#owner", "A. Owner")
	p.Wait(says(".signing", "All tests passed, and both signed."))
	p.Eval(`document.querySelector(".signing").scrollIntoView() || ""`)
	p.Screenshot("signed")
}
