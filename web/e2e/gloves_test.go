package e2e

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/stretchr/testify/require"
)

// A laser that types the two numbers of one press, with Tab, Enter or a semicolon between
// them: the first answers what is asked, the second is shown at the next question and kept
// when that is passed.
func TestTwoNumbersOfOneLaserPress(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+"/")
	site := newSite(p, s)
	for _, between := range []string{"\t", "\r", ";"} {
		open(p, site+"/measure?field=drive.latchEdge.along", "#entry")
		p.Eval(`document.querySelector("#entry").focus()`)
		asked := p.Text("#asked")
		pressLaser(p, "0.021 m"+between+"5.612 m\r")
		p.Wait(`document.querySelector("#asked").innerText !== ` + quote(asked))
		p.Wait(says("#entry-says", "The laser's second number: 5612"))
		require.Equal(t, "", p.Value("#entry"), "it is shown, not entered")
		require.Equal(t, "5612", p.Eval(`document.querySelector("#entry").placeholder`))
		settled(p)
		field := p.Eval(`document.querySelector("#entry").dataset.entry`)

		// Until it is taken nothing is kept.
		open(p, site+"/figures", ".figure-link")
		require.Contains(t, p.Text("main"), "21 mm")
		require.NotContains(t, p.Text("main"), "5612 mm")
		open(p, site+"/measure?field=drive.latchEdge.along", "#entry")
		require.Equal(t, "0.021 m", p.Value("#entry"))
		p.Eval(`(document.querySelector("#entry").focus(), document.querySelector("#entry").select())`)
		pressLaser(p, "0.021 m"+between+"5.612 m\r")
		p.Wait(says("#entry-says", "The laser's second number"))
		p.Tap(`[data-key="next"]`)
		p.Wait(`document.querySelector("#entry")?.dataset.entry !== ` + quote(field))
		settled(p)
		open(p, site+"/figures", ".figure-link")
		require.Contains(t, p.Text("main"), "5612 mm")
		open(p, site+"/measure?field="+field, "#entry")
		p.Tap(`#entry`)
		p.Eval(`document.querySelector("#entry").select()`)
		p.Tap(`[data-key="erase"]`)
		settled(p)
	}
	require.Empty(t, p.Faults())
}

// pull draws a finger down the screen, or up, from a place to another height.
func pull(p *Page, x, from, to float64) {
	p.t.Helper()
	p.touch(input.DispatchTouchEventTypeTouchStart, spot{X: x, Y: from})
	for i := 1.0; i <= 10; i++ {
		p.touch(input.DispatchTouchEventTypeTouchMove, spot{X: x, Y: from + (to-from)*i/10})
	}
	p.touch(input.DispatchTouchEventTypeTouchEnd)
}

// A page that is pulled down at its top comes down to the thumb with its bars; it goes back
// when it is scrolled up, or left.
func TestPageIsPulledDown(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+"/settings")
	size(p, smallWidth, smallHeight)
	p.Wait(`document.querySelector("#setting-keys")`)
	const (
		low = `document.querySelector(".top").getBoundingClientRect().top > innerHeight / 3`
		up  = `document.querySelector(".top").getBoundingClientRect().top === 0 && !("low" in document.documentElement.dataset)`
	)
	p.Wait(up)
	pull(p, 60, 400, 360) // scrolls on
	p.Wait("scrollY > 0")
	p.Eval(`void scrollTo({ top: 0, behavior: "instant" })`)
	pull(p, 60, 400, 430) // not far enough
	p.Wait(up)
	pull(p, 60, 400, 520)
	p.Wait(low)
	p.Eval(`void scrollTo({ top: innerHeight / 2, behavior: "instant" })`)
	p.Wait(up + ` && scrollY > 0 && scrollY < innerHeight / 2`)
	p.Eval(`void scrollTo({ top: 0, behavior: "instant" })`)
	pull(p, 60, 400, 520)
	p.Wait(low)
	p.Tap(`.top a.icon`)
	p.Wait(`location.pathname === "/" && ` + up)
	site := newSite(p, s)
	open(p, site+"/measure?field=opening.width", "#entry")
	pull(p, 180, 80, 200) // on the drawing
	p.Wait(low)
	p.Tap(`.tab[href$="/set-out"]`)
	p.Wait(drawnLarge + ` && ` + up)
	require.Empty(t, p.Faults())
}

// pressLaser types as a laser does. A browser that is driven takes longer for a key, so the
// page's clock goes slowly meanwhile.
func pressLaser(p *Page, keys string) {
	p.Eval(`((timer, keys) => {
		window.setTimeout = (f, wait, ...more) => timer(f, wait === 150 ? 3000 : wait, ...more);
		Object.defineProperty(Event.prototype, "timeStamp", { configurable: true, get: () => (keys += 5) });
	})(window.realTimeout ??= window.setTimeout, 0)`)
	p.do(typeKeys(keys))
}

// keyMillimetres is how large a CSS pixel is at least on a phone held upright: the smallest
// in use are 62 mm wide at 360 pixels.
const keyMillimetres = 62.0 / 360

// lettersAreLegible: the keys leave the drawing what it needs for letters of full size, or
// nearly.
const lettersAreLegible = `[...document.querySelectorAll(".paper svg")].every((e) => {
	const m = e.getScreenCTM();
	return m && Math.hypot(m.a, m.b) > 0.8;
})`

// Keys for gloves are three in a row, 19 mm wide, on the smallest phone and on a large one,
// and as high on the large one; whatever is asked, the whole keypad is in sight, nothing is
// cut, and what a question needs is in reach of the thumb of either hand: in the lower two
// thirds of the screen (common practice, no published source).
func TestKeysForGloves(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).NewPage(t)
	p.BeforeScripts(listens)
	p.Go(s.URL + "/")
	p.WaitRunning()
	p.Wait(visits[0].until)
	type screen struct{ wide, high int64 }
	small, large := screen{smallWidth, smallHeight}, screen{largeWidth, largeHeight}
	some := []string{"measure opening.width", "measure drive.surface"}
	for _, c := range []struct {
		hand, keys string
		on         screen
		only       []string // nil for all of the walk: where there is least room
	}{
		{"right", "large", small, nil}, {"right", "large", large, some}, {"right", "four", small, some},
		{"left", "large", small, some}, {"left", "large", large, some},
	} {
		open(p, s.URL+"/settings", "#setting-keys")
		setSelect(p, "#setting-hand", c.hand)
		setSelect(p, "#setting-keys", c.keys)
		settled(p)
		size(p, c.on.wide, c.on.high)
		seen := 0
		for _, v := range visits {
			if v.then != "" || !strings.HasPrefix(v.name, "measure") || c.only != nil && !slices.Contains(c.only, v.name) {
				continue
			}
			seen++
			where := c.hand + " " + c.keys + " " + strconv.FormatInt(c.on.wide, 10) + " " + v.name
			v.show(p, s)
			load(p)
			p.Wait(lettersAreLegible)
			audited(t, p, where, "audit.reach()")
			numeric := p.Eval(`!!document.querySelector(".keypad")`) == "true"
			require.Equal(t, numeric, p.Eval(canSpeak+" || false") == "true", where)
			if c.keys == "large" {
				audited(t, p, where, "audit.layout()")
				audited(t, p, where, "audit.keys()")
				audited(t, p, where, `audit.large(`+strconv.FormatFloat(19/keyMillimetres, 'f', 2, 64)+`)`)
			}
			if numeric { // what was heard takes room from the drawing, not from the keys
				hears(p, `says("seven hundred and seventy-seven metres seven")`)
				audited(t, p, where+", heard", "audit.reach()")
			}
			if numeric { // where nothing is spoken the keys have its room
				p.Eval(`void delete document.documentElement.dataset.voice`)
				audited(t, p, where+", no microphone", "audit.layout()")
				audited(t, p, where+", no microphone", "audit.keys()")
				p.Eval(`void (document.documentElement.dataset.voice = "ready")`)
			}
		}
		require.GreaterOrEqual(t, seen, len(some))
	}
	p.Screenshot("gloves")
	// The keys type what stands on them.
	size(p, smallWidth, smallHeight)
	open(p, s.URL+"/", `[data-do="new-site"]`)
	site := newSite(p, s)
	open(p, site+"/measure?field=opening.width", "#entry")
	for _, k := range []string{"4", ".", "3", "9", "erase", "5", "m"} {
		p.Tap(`[data-key="` + k + `"]`)
	}
	p.Wait(`document.querySelector("#entry").value.trim() === "4.35 m"`)
	require.Empty(t, p.Faults())
}
