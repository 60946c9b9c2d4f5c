package e2e

import (
	"context"
	_ "embed"
	"encoding/json"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/heapprofiler"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/memory"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"

	"pegpour/storage"
)

//go:embed screens_timed.js
var screensTimed string

// timed is what screens_timed.js took down.
type timed struct {
	Interactions []float64
	Shift        float64
	Moved        []string // what shifted
	Task         float64  // the longest, in ms
}

// timedPage is a page whose tasks are heard.
type timedPage struct {
	*Page
	tasks *tasks
}

// timed runs do and returns what it made the page do until it is quiet.
func (p *timedPage) timed(do func(p *timedPage)) (t timed) {
	p.t.Helper()
	p.Eval(`timed.begin()`)
	p.tasks.begin()
	do(p)
	p.Eval(`timed.quiet()`)
	require.NoError(p.t, json.Unmarshal([]byte(p.Eval(`timed.end()`)), &t))
	t.Task, _ = p.tasks.end(p.t)
	return t
}

// slowed is how many times the processor is slowed down for all screens.
const slowed = 4

// barePage is what a bare page of the framework takes to start at the aim's speed, slowed
// down, in ms.
const barePage = 660

// sitesTimed are the demo sites, old and new, on which the screens that design are opened too.
var sitesTimed = []struct{ name, id string }{
	{"square", "01"}, {"falling", "07"}, {"no-room", "08"}, {"pair", "09"}, {"network", "31"}, {"steep", "41"},
	{"in-its-job", "51"}, {"hanging", "61"}, {"quoted", "71"},
}

// designed are the screens that show what was designed.
var designed = []visit{
	{name: "measure", address: "/measure?field=opening.width", until: `document.querySelector("#asked") && ` + drawnSmall},
	{name: "set-out", address: "/set-out", until: drawnLarge},
	{name: "watch", address: "/watch", until: `document.querySelector("[data-sure]")`},
	{name: "ways", address: "/ways", until: `document.querySelector(".way-card .thumb svg")`},
	{name: "owner", address: "/owner", until: `document.querySelector("main svg, main canvas")`},
}

func designedEverywhere() (all []visit) {
	for _, site := range sitesTimed {
		for _, v := range designed {
			v.name = "site=" + site.name + "/" + v.name
			v.address = "/site/00000000-0000-4000-8000-0000000000" + site.id + v.address
			all = append(all, v)
		}
	}
	return all
}

// ofOffice are the screens of an office that is signed in.
var ofOffice = []visit{
	{name: "office", address: "/office", until: `document.querySelectorAll(".office-line .thumb svg").length >= 4`},
	{name: "office site", address: "/office/site/" + millLane, until: `document.querySelector("main svg")`},
	{name: "office devices", address: "/office/devices", until: `document.querySelector("main h2, main li")`},
	{name: "office people", address: "/office/people", until: `document.querySelector("main h2, main input")`},
	{name: "office rules", address: "/office/rules", until: `document.querySelector("main input")`},
	{name: "office deleted", address: "/office/deleted", until: `document.querySelector("main p")`},
	{name: "office health", address: "/office/health", until: `document.querySelector("main h2, main p")`},
}

// desk signs an office in at a yard with forty sites.
func desk(b *testing.B, s *Server, browser *Browser) *timedPage {
	b.Helper()
	crew := s.Device(b, "crew", "Blue ute")
	for i := range 40 {
		id := millLane
		if i > 0 {
			id = storage.NewID()
		}
		crew.Put(demoDocument(i%8, id, "Mill Lane "+strconv.Itoa(i+3)))
	}
	p := officePage(b, s, browser, screensTimed)
	p.throttle(slowed)
	return &timedPage{p, newTasks(p)}
}

// alsoTimed are screens that the visits do not go to, since other tests do.
var alsoTimed = []visit{
	{name: "hand-over", address: "{angled}/build/hand-over", until: `document.querySelector("main button, main input")`},
	{name: "in its job, pegs as set", address: "/site/00000000-0000-4000-8000-000000000051/build/pegs",
		until: `document.querySelector('[data-do="next-tape"]')`},
	{name: "in its job, the pour", address: "/site/00000000-0000-4000-8000-000000000051/build/pour", until: `document.querySelector("main input")`},
	{name: "in its job, as poured", address: "/site/00000000-0000-4000-8000-000000000051/build/poured",
		until: `document.querySelector("#poured-says")`},
	{name: "in its job, job", address: "/site/00000000-0000-4000-8000-000000000051/more", until: `document.querySelector(".tile")`},
}

// found marks what somebody would type into or drag on this screen, opens the first fold
// where there is nothing to type into else, and says what there is.
const found = `(() => {
	const seen = (e) => e.checkVisibility() && e.getBoundingClientRect().width > 0 && !e.disabled && !e.readOnly;
	const texts = () => [...document.querySelectorAll("#entry, main textarea, main input")].find((e) =>
		seen(e) && !["checkbox", "radio", "file", "range", "button", "color", "date", "time", "datetime-local"].includes(e.type));
	if (!texts()) { const fold = document.querySelector("main details:not([open]) summary"); if (fold) fold.click(); }
	const typed = texts();
	const dragged = [...document.querySelectorAll("#owner-space, #drawing-large, #drawing-small, main canvas, main input[type=range]")].find(seen);
	if (typed) typed.dataset.typed = typed.value;
	if (dragged) dragged.dataset.dragged = "";
	return (typed ? "type " : "") + (dragged ? "drag" : "");
})()`

// use types into a screen and drags on it as somebody would who uses it: eight keys, two
// fingers apart, one across, and the page up and down.
func (p *timedPage) use() {
	p.t.Helper()
	p.do(chromedp.KeyEvent(kb.Shift))
	what := p.Eval(found)
	if strings.Contains(what, "type") {
		p.Eval(selectAll("[data-typed]"))
		for _, key := range []string{"4", "3", "5", "0", "\b", "\b", "5", "0"} {
			p.do(chromedp.KeyEvent(key))
			time.Sleep(100 * time.Millisecond)
		}
		p.Eval(`(() => {
			const e = document.querySelector("[data-typed]");
			if (e) { e.value = e.dataset.typed; e.dispatchEvent(new InputEvent("input", {bubbles: true})); }
		})()`)
	}
	if strings.Contains(what, "drag") && p.Eval(`!!document.querySelector("[data-dragged]")`) == "true" {
		p.Eval(`document.querySelector("[data-dragged]").scrollIntoView({block: "center", behavior: "instant"})`)
		at := p.spotIn("[data-dragged]", 0.5, 0.5)
		p.dragged(8, func(part float64) []spot {
			return []spot{{at.X - 15 - 40*part, at.Y}, {at.X + 15 + 40*part, at.Y}}
		})
		p.dragged(8, func(part float64) []spot { return []spot{{at.X - 60*part, at.Y + 10*part}} })
	}
	p.dragged(8, func(part float64) []spot { return []spot{{phoneWidth * 0.03, phoneHeight * (0.7 - 0.4*part)}} })
}

// dragged moves fingers in steps, from where they are at 0 to where they are at 1.
func (p *Page) dragged(steps int, at func(part float64) []spot) {
	p.t.Helper()
	p.touch(input.DispatchTouchEventTypeTouchStart, at(0)...)
	for i := range steps {
		p.touch(input.DispatchTouchEventTypeTouchMove, at(float64(i+1)/float64(steps))...)
	}
	p.touch(input.DispatchTouchEventTypeTouchEnd)
}

// rows collects what was measured of all screens, for the worst of them.
type rows struct {
	b     *testing.B
	opens []float64
	uses  []float64
	next  []float64
	shift float64
}

// row measures a screen: how it is opened, then how it is used, where it is.
func (r *rows) row(name string, p *timedPage, open func(p *timedPage), use func(p *timedPage)) {
	r.b.Run(name, func(b *testing.B) {
		defer func(was testing.TB) { p.t = was }(p.t)
		p.t = b
		b.ReportMetric(0, "ns/op")
		for b.Loop() {
			begun, there := time.Now(), time.Duration(0)
			opened := p.timed(func(p *timedPage) {
				open(p)
				there = time.Since(begun)
			})
			b.ReportMetric(float64(there.Milliseconds()), "ms-there")
			b.ReportMetric(opened.Task, "ms-open-task")
			r.opens = append(r.opens, opened.Task)
			shift, moved := opened.Shift, opened.Moved
			if use != nil {
				used := p.timed(use)
				shift, moved = max(shift, used.Shift), append(moved, used.Moved...)
				b.ReportMetric(used.Task, "ms-use-task")
				r.uses = append(r.uses, used.Task)
				if len(used.Interactions) > 0 {
					b.ReportMetric(part(used.Interactions, 0.98), "ms-next-paint")
					r.next = append(r.next, used.Interactions...)
				}
			}
			b.ReportMetric(shift, "layout-shift")
			r.shift = max(r.shift, shift)
			if shift >= 0.01 {
				b.Logf("shifted: %s", strings.Join(moved, " "))
			}
		}
	})
}

// opening goes to a visit's screen in the program that runs.
func (v visit) opening() func(p *timedPage) {
	address := at(v.address)
	return func(p *timedPage) {
		p.Eval(`goappNav(location.origin + ` + quote(address) + `)`)
		path, _, _ := strings.Cut(address, "?")
		p.Wait(`location.pathname === ` + quote(path) + ` && document.querySelector("h1") && (` + v.until + `)`)
		if v.then != "" {
			p.do(chromedp.KeyEvent(kb.Shift)) // what the script does is done by somebody
			p.Eval(`(() => { ` + v.then + `; return "" })()`)
		}
		if v.after != "" {
			p.Wait(v.after)
		}
	}
}

// between goes to an address of the program that runs which leads nowhere.
func between(p *timedPage) {
	p.Eval(`goappNav(location.origin + ({office: "/office", building: "/site/none/build"}[pegpourProgram()] || "") + "/between-two-screens")`)
	p.Wait(`document.querySelector("#lost")`)
}

// ofProgram says by its address whether a screen is of the phone's program, of building's or the office's.
func ofProgram(p *timedPage, address string) string {
	p.t.Helper()
	path, _, _ := strings.Cut(address, "?")
	return p.Eval(`((location) => (` + p.Eval(`String(pegpourProgram)`) + `)())({pathname: ` + quote(path) + `})`)
}

// bareStart returns how long a bare page takes to start without signal in a browser just
// started, slowed down, in ms, and for how much of it the page's thread is at work.
func bareStart(b *testing.B) func() (took, busy float64) {
	bare := StartServer(b, requireServer(b), bareFirst)
	browser := LaunchBrowser(b)
	browser.Open(b, bare.URL+"/").WaitKept()
	bare.Kill()
	return func() (took, busy float64) {
		browser.Kill()
		browser.Relaunch(b)
		p := browser.NewPage(b)
		p.BeforeScripts(thereWhen("#note", "#note"))
		p.throttle(slowed)
		heard := newTasks(p)
		heard.begin()
		p.Go(bare.URL + "/")
		p.Wait(`thereAt.last > 0`)
		_, busy = heard.end(b)
		defer browser.Kill()
		return number(b, p.Eval(`thereAt.last`)), busy
	}
}

// BenchmarkScreens measures every screen, slowed down four times: the longest task while
// it is opened and while somebody types and drags, the next paint after an interaction,
// and layout shift. Beside them stand a bare page, and the worst of all at the aim's speed.
func BenchmarkScreens(b *testing.B) {
	s := StartYard(b, requireServer(b), realBundle)
	browser := LaunchBrowser(b)
	r := &rows{b: b}
	bare := bareStart(b)
	var starts, busy []float64
	start := func() {
		took, worked := bare()
		starts, busy = append(starts, took), append(busy, worked)
	}
	start()

	first := browser.NewPage(b)
	first.BeforeScripts(screensTimed)
	first.Go(s.URL + "/")
	first.WaitKept()
	first.throttle(slowed)
	p := &timedPage{first, newTasks(first)}
	use := map[bool]func(*timedPage){true: (*timedPage).use}
	loading := func(address, until string) func(p *timedPage) {
		return func(p *timedPage) {
			p.Go(s.URL + address)
			p.WaitRunning()
			p.Wait(until)
		}
	}
	programs := map[string][]visit{}
	for _, v := range slices.Concat(visits, alsoTimed, designedEverywhere()) {
		program := ofProgram(p, at(v.address))
		programs[program] = append(programs[program], v)
	}
	start()
	for _, program := range []string{"phone", "building", "office"} {
		for i, v := range programs[program] {
			if i == 0 {
				r.row("start="+program, p, loading(at(v.address), v.until), nil)
			}
			between(p)
			r.row(strings.ReplaceAll(v.name, ", ", "/"), p, v.opening(), use[!strings.HasPrefix(v.name, "site=")])
		}
	}
	start()
	p.Close()
	p = desk(b, s, browser)
	for _, v := range ofOffice {
		between(p)
		r.row(v.name, p, v.opening(), (*timedPage).use)
	}
	start()
	b.Run("all", func(b *testing.B) {
		for b.Loop() {
			speed := barePage / middle(starts)
			b.ReportMetric(0, "ns/op")
			b.ReportMetric(middle(starts), "ms-bare")
			b.ReportMetric(middle(busy), "ms-bare-busy")
			b.ReportMetric(slices.Max(r.opens)*speed, "ms-open-task-aim")
			b.ReportMetric(slices.Max(append(r.uses, 0))*speed, "ms-use-task-aim")
			if len(r.next) > 0 {
				b.ReportMetric(part(r.next, 0.98)*speed, "ms-next-paint-aim")
			}
			b.ReportMetric(r.shift, "layout-shift")
		}
	})
	require.Empty(b, p.Faults())
}

// edited are the screens on which something is edited, a thousand times.
var edited = []visit{
	asking("opening.width"),
	{name: "measure, of a pair", address: "/site/00000000-0000-4000-8000-000000000009/measure?field=opening.width",
		until: `document.querySelector("#entry") && ` + drawnSmall},
	{name: "network begun", address: "{pavers}/network", until: `document.querySelector('[data-do="two-posts"]')`,
		then: `document.querySelector('[data-do="two-posts"]').click()`, after: `document.querySelector("#entry")`},
	{name: "level run begun", address: "{pavers}/level-run", until: `document.querySelector('[data-do="begin"]')`,
		then: `document.querySelector('[data-do="begin"]').click()`, after: `document.querySelector("#entry")`},
	{name: "site rules", address: "{square}/rules", until: `document.querySelector(".rules")`},
	{name: "rates", address: "/rates", until: `document.querySelector(".rate")`},
	{name: "the pour", address: "{angled}/build/pour", until: `document.querySelector("main input")`},
}

// heap is what a page holds after its garbage was collected.
func (p *Page) heap() (wasm, script, nodes float64) {
	p.t.Helper()
	get(p, chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		if _, err := cdp.Call(ctx, target, heapprofiler.CollectGarbage, cdp.Empty{}); err != nil {
			return err
		}
		used, err := cdp.Call(ctx, target, runtime.GetHeapUsage, cdp.Empty{})
		if err != nil {
			return err
		}
		counted, err := cdp.Call(ctx, target, memory.GetDOMCounters, cdp.Empty{})
		script, nodes = used.UsedSize/1e6, float64(counted.Nodes)
		return err
	}))
	return number(p.t, p.Eval("memoryOf.buffer.byteLength")) / 1e6, script, nodes
}

// BenchmarkScreensEdits measures how much more memory a screen takes after a thousand edits
// than after a hundred: the program's own, the page's scripts', and nodes.
func BenchmarkScreensEdits(b *testing.B) {
	s := StartServer(b, requireServer(b), realBundle)
	browser := LaunchBrowser(b)
	for _, v := range edited {
		b.Run(strings.ReplaceAll(v.name, ", ", "/"), func(b *testing.B) {
			p := browser.NewPage(b)
			defer p.Close()
			p.BeforeScripts(memoryKept)
			p.Go(s.URL + at(v.address))
			p.WaitRunning()
			p.Wait(v.until)
			if v.then != "" {
				p.Eval(`(() => { ` + v.then + `; return "" })()`)
				p.Wait(v.after)
			}
			require.Contains(b, p.Eval(found), "type")
			edit := func(times int) {
				for done := 0; done < times; done += 100 {
					p.Eval(`(async () => {
						const find = () => document.querySelector("[data-typed]") || document.querySelector("#entry");
						for (let i = 0; i < 50; i++) for (const v of ["4", "5"]) {
							const e = find();
							e.value = v;
							e.dispatchEvent(new InputEvent("input", {bubbles: true}));
							if (e.id !== "entry") e.dispatchEvent(new Event("change", {bubbles: true}));
							await new Promise((r) => setTimeout(r, 0));
						}
					})()`)
					settled(p)
				}
			}
			for b.Loop() {
				edit(100)
				wasm, script, nodes := p.heap()
				edit(1000)
				wasmAfter, scriptAfter, nodesAfter := p.heap()
				b.ReportMetric(wasmAfter, "MB-program")
				b.ReportMetric(wasmAfter-wasm, "MB-program-more")
				b.ReportMetric(scriptAfter-script, "MB-scripts-more")
				b.ReportMetric(nodesAfter-nodes, "nodes-more")
			}
			b.ReportMetric(0, "ns/op")
			require.Empty(b, p.Faults())
		})
	}
}
