package e2e

import (
	"os"
	"strconv"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// spacesKept keeps what draws in space, so that a test can ask what it shows: seen() gives
// its looks, and shot(wide) the numbers of its pixels.
const spacesKept = `
	window.spaces = [];
	let made;
	Object.defineProperty(window, "pegpourPicture", {get: () => made, set: (f) => { made = (...a) => {
		const space = f(...a);
		if (space) spaces.push(space);
		return space;
	}; }});
	window.seen = () => spaces.at(-1)?.look;
	window.shot = (wide) => {
		const copy = spaces.at(-1).still(wide, () => {});
		return [copy.height, ...copy.getContext("2d").getImageData(0, 0, copy.width, copy.height).data];
	};
	window.bright = () => { let sum = 0; for (const [i, v] of shot(200).entries()) if ((i - 1) % 4 < 3) sum += v; return sum; };
	window.painted = () => shot(200).join();`

func ownerInSpace(t *testing.T) *Page {
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).NewPage(t)
	p.BeforeScripts(spacesKept)
	p.Go(s.URL + angledSite + "/owner")
	p.Wait(`document.querySelector("#owner-view canvas") && seen() && seen().rise > 0`)
	return p
}

// The gate follows the finger along the slider, and the buttons slide it; the same place is
// the same picture.
func TestGateSlidesUnderTheFinger(t *testing.T) {
	t.Parallel()
	p := ownerInSpace(t)
	shut := p.Eval(`painted()`)
	p.Eval(`document.getElementById("gate-slider").scrollIntoView({block: "nearest"})`)
	from, to := p.spotIn("#gate-slider", 0.04, 0.5), p.spotIn("#gate-slider", 0.7, 0.5)
	p.do(chromedp.DragAndDropXY(from.X, from.Y, to.X, to.Y, 8))
	p.Wait(`seen().open > 0.5 && Math.abs(seen().open - document.getElementById("gate-slider").value / 100) < 0.01`)
	half := p.Eval(`painted()`)
	assert.NotEqual(t, shut, half)

	// On its way it is at many places, one after the other.
	p.Eval(`(() => { window.places = []; const look = () => { places.push(seen().open); requestAnimationFrame(look); }; look(); })()`)
	tapAfar(p, `[data-view="open"]`)
	p.Wait(`seen().open === 1 && document.getElementById("gate-slider").value === "100" && document.querySelector('[data-view="open"].here')`)
	p.Wait(`new Set(places).size > 2 && places.every((v, i) => i === 0 || v >= places[i - 1])`)
	tapAfar(p, `[data-view="shut"]`)
	p.Wait(`seen().open === 0`)
	assert.Equal(t, shut, p.Eval(`painted()`))

	tapAfar(p, `[data-view="inside"]`)
	p.Wait(`painted() !== ` + quote(shut))
	tapAfar(p, `[data-view="above"]`)
	p.Wait(`document.querySelector("#owner-view svg") && !document.querySelector("#owner-view canvas")`)
	tapAfar(p, `[data-view="street"]`)
	p.Wait(`document.querySelector("#owner-view canvas") && painted() === ` + quote(shut))

	// Who wants no motion gets none.
	media(p, "prefers-reduced-motion", "reduce")
	p.Eval(`places.length = 0`)
	tapAfar(p, `[data-view="open"]`)
	p.Wait(`seen().open === 1`)
	assert.Equal(t, "true", p.Eval(`String(places.every((v) => v === 0 || v === 1))`))
	if os.Getenv("PEGPOUR_SHOTS") != "" {
		p.Screenshot("owner")
	}
	assert.Empty(t, p.Faults())
}

// A finger on the picture turns it, as the buttons do; the eye stays above the ground and
// below the crown; two fingers enlarge it.
func TestGateTurnsUnderTheFinger(t *testing.T) {
	t.Parallel()
	p := ownerInSpace(t)
	first := p.Eval(`painted()`)
	drag := func(x, y float64) {
		t.Helper()
		at := p.spotIn("#owner-space", 0.5, 0.5)
		p.do(chromedp.DragAndDropXY(at.X, at.Y, at.X+x, at.Y+y, 8))
	}
	drag(-60, 0)
	p.Wait(`seen().turn > 0.2 && painted() !== ` + quote(first))
	drag(0, 150)
	p.Wait(`seen().rise > 0.5`)
	for range 4 {
		drag(0, 150)
	}
	p.Wait(`Math.abs(seen().rise - 1.3) < 1e-9`)
	for range 8 {
		drag(0, -150)
	}
	p.Wait(`seen().rise > 0 && seen().rise < 0.3`)
	low := number(t, p.Eval(`seen().rise`))
	p.TapName("Seen from lower down")
	p.TapName("Seen from higher up")
	p.Wait(`seen().rise > ` + strconv.FormatFloat(low, 'f', -1, 64) + ` + 0.1`)
	turn := p.Eval(`seen().turn`)
	p.TapName("Seen from further left")
	p.Wait(`Math.abs(seen().turn - (` + turn + `) + Math.PI / 9) < 1e-6`)
	p.TapName("Seen from further right")
	p.Wait(`Math.abs(seen().turn - (` + turn + `)) < 1e-6`)

	at := p.spotIn("#owner-space", 0.5, 0.5)
	apart := func(by float64) []spot { return []spot{{X: at.X - by, Y: at.Y}, {X: at.X + by, Y: at.Y}} }
	p.touch(input.DispatchTouchEventTypeTouchStart, apart(20)...)
	for by := 22.0; by <= 60; by += 2 {
		p.touch(input.DispatchTouchEventTypeTouchMove, apart(by)...)
	}
	p.touch(input.DispatchTouchEventTypeTouchEnd)
	p.Wait(`seen().zoom > 2.4 && seen().zoom < 3.6`)
	assert.Equal(t, "0", p.Eval(`String(scrollY + document.querySelector("#content").scrollTop + Math.round((visualViewport.scale - 1) * 100))`))
	for range 4 {
		p.TapName("Smaller")
	}
	p.Wait(`seen().zoom === 1 && seen().right === 0 && seen().up === 0`)
	assert.Empty(t, p.Faults())
}

// The gate is seen by day or at night, whatever the colours of the screen, and the phone
// remembers which; its metal is in the colour that is chosen.
func TestGateByDayAndAtNight(t *testing.T) {
	t.Parallel()
	p := ownerInSpace(t)
	day := number(t, p.Eval(`bright()`))
	tapAfar(p, `[data-view="night"]`)
	p.Wait(says("main", "no lamp is drawn"))
	p.Wait(`bright() < ` + strconv.FormatFloat(0.6*day, 'f', 0, 64))
	settled(p)
	p.Reload()
	p.Wait(`document.querySelector('[data-view="night"].here') && seen() && seen().rise > 0`)
	p.Wait(`bright() < ` + strconv.FormatFloat(0.6*day, 'f', 0, 64))
	t.Run("for everyone", func(t *testing.T) { p.t = t; forEveryone(t, p); asUsual(p) })
	p.t = t
	tapAfar(p, `[data-view="day"]`)
	p.Wait(`bright() > ` + strconv.FormatFloat(0.9*day, 'f', 0, 64))
	require.NotContains(t, p.Text("main"), "no lamp")

	// The leaf takes the colour that is tapped, which is an edit like any other.
	plain := p.Eval(`painted()`)
	tapAfar(p, `[data-colour="black"]`)
	p.Wait(`document.querySelector('[data-colour="black"].here') && painted() !== ` + quote(plain))
	p.Wait(says(".owner-facts", "Colour of the gate's metal: Black."))
	black := p.Eval(`painted()`)
	settled(p)
	p.Reload()
	p.Wait(`document.querySelector('[data-colour="black"].here') && seen() && seen().rise > 0 && painted() === ` + quote(black))
	tapAfar(p, `[data-colour=""]`)
	p.Wait(`document.querySelector('[data-colour=""].here') && painted() === ` + quote(plain))
	assert.Empty(t, p.Faults())
}

// Where a browser draws nothing in space, the drawing follows the finger along the slider as
// well, and the buttons do the same.
func TestGateSlidesAsADrawing(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).NewPage(t)
	p.BeforeScripts(`
		const context = HTMLCanvasElement.prototype.getContext;
		HTMLCanvasElement.prototype.getContext = function (kind, ...a) { return kind === "webgl2" ? null : context.call(this, kind, ...a); };`)
	p.Go(s.URL + angledSite + "/owner")
	p.Wait(`document.querySelector("#owner-view svg")`)
	picture := func() string { return p.Eval(`document.getElementById("owner-view").innerHTML`) }
	shut := picture()

	type rail struct{ Left, Right, Y float64 }
	at := get(p, chromedp.Evaluate[rail](`(() => {
		const e = document.getElementById("gate-slider");
		e.scrollIntoView({block: "nearest"});
		const box = e.getBoundingClientRect();
		return {Left: box.left, Right: box.right, Y: box.top + box.height / 2};
	})()`))
	// Each picture on the way is counted, so that one sees it move.
	p.Eval(`(() => {
		window.pictures = new Set();
		const view = document.getElementById("owner-view");
		new MutationObserver(() => pictures.add(view.innerHTML)).observe(view, {childList: true});
	})()`)
	p.do(chromedp.DragAndDropXY(at.Left+12, at.Y, at.Left+(at.Right-at.Left)*0.7, at.Y, 8))
	p.Wait(`Number(document.getElementById("gate-slider").value) > 50`)
	p.Wait(`pictures.size >= 3`)
	p.Wait(`document.getElementById("owner-view").innerHTML !== ` + quote(shut))

	tapAfar(p, `[data-view="open"]`)
	p.Wait(`document.getElementById("gate-slider").value === "100"`)
	tapAfar(p, `[data-view="shut"]`)
	p.Wait(`document.getElementById("owner-view").innerHTML === ` + quote(shut))
	for _, view := range []string{"inside", "above", "street"} {
		before := picture()
		tapAfar(p, `[data-view="`+view+`"]`)
		p.Wait(`document.getElementById("owner-view").innerHTML !== ` + quote(before))
	}
	assert.Equal(t, shut, picture())
	p.Wait(`!document.querySelector('[data-view="night"]') && !document.querySelector(".owner-view .drawing-tools")`)
	assert.Empty(t, p.Faults())
}

// In the other engines the gate is seen in space too, or as a drawing where they draw
// nothing there, and slides.
func TestGateInOtherEngines(t *testing.T) {
	t.Parallel()
	for name, launch := range map[string]func(*testing.T) *Driven{
		"Firefox": func(t *testing.T) *Driven { return LaunchFirefox(t, "") },
		"WebKit":  func(t *testing.T) *Driven { return LaunchWebKit(t) },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := StartServer(t, requireServer(t), realBundle)
			d := launch(t)
			d.Go(s.URL + angledSite + "/owner")
			d.Wait(`document.querySelector("#owner-view canvas, #owner-view svg")`)
			d.Tap(`[data-view="open"]`)
			d.Wait(`document.getElementById("gate-slider").value === "100" && document.querySelector('[data-view="open"].here')`)
			inSpace := d.Eval(`String(!!document.querySelector("#owner-view canvas"))`)
			t.Logf("in space: %s", inSpace)
			if inSpace == "true" {
				d.Tap(`.owner-view .drawing-tools button:nth-child(2)`)
				d.Tap(`[data-view="night"]`)
				d.Wait(says("main", "no lamp is drawn"))
			}
			d.Screenshot("owner")
		})
	}
}
