package e2e

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// hiddenChoices are the options that a thumb would have to scroll to.
const hiddenChoices = `[...document.querySelectorAll(".choice")].filter((e) => {
	const r = e.getBoundingClientRect(), steps = document.querySelector(".steps").getBoundingClientRect();
	return r.top < document.querySelector(".top").getBoundingClientRect().bottom - 1 || r.bottom > steps.top + 1 ||
		r.bottom > document.querySelector(".tabs").getBoundingClientRect().top + 1;
}).map((e) => e.innerText).join("; ")`

// All that can be chosen is in sight at once, upright and on its side.
func TestAllOptionsAreInSight(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+"/")
	p.WaitRunning()
	for _, size := range [][2]int64{{360, 640}, {640, 360}} {
		p.do(chromedp.EmulateViewport(size[0], size[1], chromedp.EmulateScale(1), chromedp.EmulateMobile,
			chromedp.EmulateTouch))
		for _, field := range []string{"drive.surface", "opening.postMade", "drive.runBackEdge.given", "ground.soil",
			"ground.class", "ground.shape", "gate.infill", "gate.guide", "gate.motor", "drive.vehicle"} {
			goTo(p, at("{square}/measure?field="+field), ".choice")
			settled(p)
			require.Empty(t, p.Eval(hiddenChoices), "%s at %v", field, size)
		}
	}
}

// On its side a phone shows the whole keypad beside the drawing, each key large enough.
func TestTheKeypadIsWholeOnItsSide(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+"/")
	p.WaitRunning()
	size(p, smallHeight, smallWidth)
	for _, field := range []string{"opening.width", "runBack.room", "gate.cladding"} {
		goTo(p, at("{square}/measure?field="+field), ".keypad")
		settled(p)
		require.Empty(t, p.Eval(`[...document.querySelectorAll(".key, #entry")].filter((e) => {
			const r = e.getBoundingClientRect();
			return r.top < document.querySelector(".top").getBoundingClientRect().bottom - 1 || r.height < 48 ||
				r.bottom > document.querySelector(".tabs").getBoundingClientRect().top + 1;
		}).map((e) => e.outerHTML).join("; ")`), field)
		require.Equal(t, "true", p.Eval(`document.querySelector("#drawing-small").getBoundingClientRect().height >= 64`), field)
	}
}

// What was put away is brought back from where one stands in the list.
func TestWhatIsPutAwayIsBroughtBackInSight(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+"/")
	size(p, smallWidth, smallHeight)
	p.Wait(`document.querySelectorAll(".thumb svg").length >= 4`)
	name := p.Eval(`document.querySelector(".site-address").innerText`)
	p.Tap(`.site .icon`)
	p.Wait(`document.querySelector(".bar-fixed")`)
	const seen = `(() => {
		const r = document.querySelector(".bar-fixed button").getBoundingClientRect();
		const there = document.elementFromPoint(r.left + r.width / 2, r.top + r.height / 2);
		return r.bottom <= innerHeight && there.closest(".bar-fixed") !== null;
	})()`
	require.Equal(t, "true", p.Eval(seen))
	p.Eval(`scrollTo(0, 99999)`)
	require.Equal(t, "true", p.Eval(seen))
	p.Tap(`.bar-fixed button`)
	p.Wait(`!document.querySelector(".bar-fixed")`)
	p.Wait(`document.querySelector(".sites").innerText.includes(` + quote(name) + `)`)
}
