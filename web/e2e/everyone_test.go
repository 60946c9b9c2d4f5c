package e2e

import (
	"context"
	_ "embed"
	"encoding/json"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw/glare"
	"pegpour/web/e2e/axe"
)

//go:embed audit.js
var auditScript string

// audited runs an expression of window.audit and reports what it complains of.
func audited(t *testing.T, p *Page, where, expression string) {
	t.Helper()
	var complaints []string
	require.NoError(t, json.Unmarshal([]byte(p.Eval(`(async () => JSON.stringify(await `+expression+`))()`)), &complaints))
	for _, complaint := range complaints {
		t.Errorf("%s: %s", where, complaint)
	}
}

// show opens a visit and brings the screen to its state: in the program that runs,
// or by loading the page where it is the other one's.
func (v visit) show(p *Page, s *Server) {
	p.t.Helper()
	address := at(v.address)
	const running = `document.documentElement && document.documentElement.dataset.app === "running" && location.pathname`
	if here := p.Eval(running); here == "false" || isOffice(here) || isOffice(address) {
		p.Go(s.URL + address)
		p.WaitRunning()
	} else {
		p.Show(address)
	}
	p.Wait(`document.querySelector("h1") && ` + v.until) // while a site is being opened there is none
	if v.then != "" {
		p.Eval(`(() => { ` + v.then + `; return "" })()`)
	}
	if v.after != "" {
		p.Wait(v.after)
	}
}

func isOffice(path string) bool { return strings.HasPrefix(path, "/office") }

// load puts axe and our own measures into the page, past its policy, which
// forbids scripts from elsewhere.
func load(p *Page) {
	p.t.Helper()
	p.Eval(`(() => { if (!window.axe) {` + axe.Script + `}; return "" })()`)
	p.Eval(`(() => { ` + auditScript + `; return "" })()`)
}

func media(p *Page, features ...string) {
	p.t.Helper()
	var wanted []*emulation.MediaFeature
	for i := 0; i+1 < len(features); i += 2 {
		wanted = append(wanted, &emulation.MediaFeature{Name: features[i], Value: features[i+1]})
	}
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: wanted})
		return err
	}))
}

// fontSize is the size of text that the person has set in the browser, in CSS
// pixels; 16 is every browser's own.
func fontSize(p *Page, size int64) {
	p.t.Helper()
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		sizes := page.SetFontSizesParams{FontSizes: &page.FontSizes{Standard: size}}
		_, err := cdp.Call(ctx, target, page.SetFontSizes, sizes)
		return err
	}))
}

const everyTag = `["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]`

// forEveryone measures the state of a screen that the page shows, by day at the
// size of a phone; then by night, in full sun, from right to left and with text
// at twice its size on a small phone, each without loading it anew.
func forEveryone(t *testing.T, p *Page) {
	t.Helper()
	load(p)
	media(p, "prefers-color-scheme", "light", "prefers-reduced-motion", "reduce")
	audited(t, p, "day", `audit.rules(`+everyTag+`)`)
	for _, check := range []string{
		"contrast()", "targets()", "sizes(16)", "layout()", "drawings()", "lettering()", "motion()", "language()", "arrows()",
	} {
		audited(t, p, "day", "audit."+check)
	}
	media(p, "prefers-color-scheme", "dark", "prefers-reduced-motion", "reduce")
	audited(t, p, "night", "audit.contrast()")
	audited(t, p, "night", "audit.colours()")
	media(p, "prefers-color-scheme", "light", "prefers-reduced-motion", "reduce")
	p.Eval(`document.documentElement.dataset.theme = "sun"`)
	audited(t, p, "full sun", "audit.contrast(10)")
	audited(t, p, "full sun", "audit.colours()")
	audited(t, p, "full sun", inFullSun(t))
	p.Eval(`document.documentElement.dataset.theme = ""`)
	size(p, smallWidth, smallHeight)
	redrawn(p)
	audited(t, p, "small", "audit.layout()")
	audited(t, p, "small", "audit.lettering()")
	audited(t, p, "small", "audit.sizes(16)")
	audited(t, p, "small", "audit.thumb()")
	p.Eval(`document.documentElement.dir = "rtl"`)
	audited(t, p, "right to left", "audit.layout()")
	audited(t, p, "right to left", "audit.arrows()")
	p.Eval(`document.documentElement.dir = "ltr"`)
	fontSize(p, 32)
	p.Wait(`getComputedStyle(document.body).fontSize === "32px"`)
	redrawn(p)
	audited(t, p, "200 % text", "audit.layout()")
	audited(t, p, "200 % text", "audit.sizes(32, 16)")
	audited(t, p, "200 % text", "audit.keys()")
}

// inFullSun is the check of what the glare leaves, by the model of engine/draw/glare.
func inFullSun(t *testing.T) string {
	t.Helper()
	model, err := json.Marshal(map[string]any{"screen": glare.FullSun, "least": glare.Least, "stroke": glare.Stroke})
	require.NoError(t, err)
	return "audit.glare(" + string(model) + ")"
}

// forTheDesk measures a state of an office's screen at a desk, on the smallest
// phone and on an ordinary one, and leaves it as large as it was.
func forTheDesk(t *testing.T, p *Page, state string) {
	t.Helper()
	t.Run(state, func(t *testing.T) {
		defer func(was testing.TB) { p.t = was }(p.t)
		p.t = t
		// What has scrolled half under the header is not too small.
		p.Eval(`void scrollTo({top: 0, behavior: "instant"})`)
		forEveryone(t, p)
		asUsual(p)
		p.Wait(`getComputedStyle(document.body).fontSize === "16px"`)
		redrawn(p)
		for _, check := range []string{"targets()", "sizes(16)", "layout()", "lettering()"} {
			audited(t, p, "phone", "audit."+check)
		}
		deskSize(p)
	})
}

// The smallest phone that everything has to fit on.
const (
	smallWidth  = 360
	smallHeight = 640
)

// A large phone, on which the most is out of the thumb's reach.
const (
	largeWidth  = 430
	largeHeight = 932
)

func size(p *Page, width, height int64) {
	p.t.Helper()
	p.do(chromedp.EmulateViewport(width, height, chromedp.EmulateScale(2), chromedp.EmulateMobile, chromedp.EmulateTouch))
}

// redrawn waits until the drawings have taken the size of the window that
// changed, as long as a busy machine may need; whether the lettering then has
// its size is measured after it.
func redrawn(p *Page) {
	p.t.Helper()
	p.Eval(`(async () => {
		const small = () => [...document.querySelectorAll(".paper svg")].some((e) => {
			const m = e.getScreenCTM();
			return m && Math.hypot(m.a, m.b) < 0.995;
		});
		for (const end = performance.now() + 20000; small() && performance.now() < end;)
			await new Promise((then) => setTimeout(then, 25));
	})()`)
}

// asUsual undoes what forEveryone leaves behind.
func asUsual(p *Page) {
	p.t.Helper()
	media(p, "prefers-color-scheme", "light", "prefers-reduced-motion", "reduce")
	fontSize(p, 16)
	size(p, phoneWidth, phoneHeight)
}

// Every screen, in every theme: axe has nothing to say, contrast is 7:1, targets
// are 48 px, text is 16 px, nothing is cut or overlaps, drawings are spoken and
// nothing moves by itself. The same from right to left, and with text at twice
// its size as set in the browser.
func TestEveryScreenForEveryone(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Keeping().Open(t, s.URL+"/")
	p.WaitKept() // then an address that the server does not know leads to the app without a fault
	p.Wait(visits[0].until)
	for _, v := range visits {
		t.Run(v.name, func(t *testing.T) {
			p.t = t
			asUsual(p)
			size(p, largeWidth, largeHeight)
			v.show(p, s)
			load(p)
			audited(t, p, "large", "audit.thumb()")
			forEveryone(t, p)
		})
		p.t = t
	}
	t.Run("more contrast asked for", func(t *testing.T) {
		p.t = t
		moreContrast(t, p, s)
	})
	p.t = t
	require.Empty(t, p.Faults())
}

// A phone that asks for more contrast gets the theme for full sun by itself, in
// the drawings too, unless the person chose another; by night it stays night.
func moreContrast(t *testing.T, p *Page, s *Server) {
	t.Helper()
	asUsual(p)
	visit{address: "{angled}/set-out", until: drawnLarge}.show(p, s)
	load(p)
	const looks = `(() => {
		const style = (e) => getComputedStyle(e);
		const line = document.querySelector("#drawing-large svg .d-r-outline .d-e");
		return style(document.body).backgroundColor + " " +
			style(document.documentElement).getPropertyValue("--assumed") + " " + style(line).strokeWidth;
	})()`
	choose := func(theme string) { p.Eval(`document.documentElement.dataset.theme = ` + quote(theme)) }
	day := p.Eval(looks)
	choose("sun")
	sun := p.Eval(looks)
	choose("night")
	night := p.Eval(looks)
	require.Contains(t, sun, "rgb(255, 255, 255) #262b2a")
	choose("")
	media(p, "prefers-color-scheme", "light", "prefers-reduced-motion", "reduce", "prefers-contrast", "more")
	require.Equal(t, sun, p.Eval(looks))
	require.NotEqual(t, strings.Fields(day)[4], strings.Fields(sun)[4], "lines of drawings are heavier")
	audited(t, p, "more contrast", "audit.contrast(10)")
	audited(t, p, "more contrast", inFullSun(t))
	weakened(t, p)
	choose("day")
	require.Equal(t, day, p.Eval(looks), "what the person chose holds")
	choose("")
	media(p, "prefers-color-scheme", "dark", "prefers-reduced-motion", "reduce", "prefers-contrast", "more")
	require.Equal(t, night, p.Eval(looks))
}

// The check of the glare sees each text and line that is made paler or thinner.
func weakened(t *testing.T, p *Page) {
	t.Helper()
	for what, style := range map[string]string{
		"a text":                   ".tab { color: #606060 !important }",
		"a thin text":              ".title { font-weight: 300 !important }",
		"the edge of a control":    ".wide { border-color: #888 !important }",
		"a thin edge":              ".top { border-width: 1px !important }",
		"a sign":                   ".tab .sign { stroke: #777 }",
		"a line of a drawing":      "#drawing-large .d-r-outline .d-e { stroke: #666 !important }",
		"a thin line of a drawing": "#drawing-large .d-d { stroke-width: 1px !important }",
		"a line half seen":         "#drawing-large .d-x { opacity: .5 !important }",
		"a figure of a drawing":    "#drawing-large .d-v-measured .d-w { fill: #b04080 !important }",
		"a hatch":                  ".d-h { stroke: #999 !important }",
	} {
		found := p.Eval(`(() => {
			const sheet = new CSSStyleSheet();
			sheet.replaceSync(` + quote(style) + `);
			document.adoptedStyleSheets = [sheet];
			const found = ` + inFullSun(t) + `.length;
			document.adoptedStyleSheets = [];
			return found;
		})()`)
		if found == "0" {
			t.Errorf("nobody sees that %s is weakened by %s", what, style)
		}
	}
}
