package e2e

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"pegpour/storage/demo"
)

// The benchmarks of the browser run in Chromium without a window. Times are
// taken inside the page. They say what this machine does today, so a start is
// measured beside the start of a bare page of the framework, in turn, in the
// same browser.

// throttle slows the page's processor down by a factor, as a cheap phone is.
func (p *Page) throttle(factor float64) {
	p.t.Helper()
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: factor})
		return err
	}))
}

// thereWhen takes down the times at which the page first has what is looked
// for, counted from the navigation, and everything that shifts the layout.
func thereWhen(first, last string) string {
	return shiftsCounted + `
		window.thereAt = {first: 0, last: 0};
		const look = (name, selector) => new MutationObserver((_, me) => {
			if (!document.querySelector(selector)) return;
			me.disconnect();
			requestAnimationFrame(() => thereAt[name] = performance.now());
		}).observe(document, {childList: true, subtree: true});
		look("first", ` + quote(first) + `);
		look("last", ` + quote(last) + `);`
}

// shiftsCounted adds up everything that shifts the layout.
const shiftsCounted = `
	window.shifted = 0;
	new PerformanceObserver((list) => {
		for (const e of list.getEntries()) if (!e.hadRecentInput) shifted += e.value;
	}).observe({type: "layout-shift", buffered: true});
`

// keysTimed takes down the time from each key to the drawing that shows it.
const keysTimed = `
	window.times = [];
	let pressed = 0;
	for (const way of ["keydown", "pointerdown"]) addEventListener(way, (e) => pressed = e.timeStamp, true);
	addEventListener("load", () => new MutationObserver((all) => {
		if (!pressed || !all.some((m) => m.target.parentElement.closest("#drawing-small"))) return;
		times.push(performance.now() - pressed);
		pressed = 0;
	}).observe(document.body, {childList: true, subtree: true, attributes: true, characterData: true}));
`

// BenchmarkStart measures a start from the device with no server: a new tab of
// a browser just started, from the navigation to the first frame with the list
// of sites, which takes taps from then on, to the first frame of the program's
// own list, and of the whole of the bare page.
func BenchmarkStart(b *testing.B) {
	ours := StartServer(b, requireServer(b), realBundle)
	bare := StartServer(b, requireServer(b), bareFirst)
	browser := LaunchBrowser(b)
	for _, s := range []*Server{ours, bare} {
		p := browser.Open(b, s.URL+"/")
		p.WaitKept()
		if s == ours {
			p.Wait(`(localStorage["pegpour-list"] || "").includes("data-drawn")`)
			settled(p)
			time.Sleep(10 * time.Second) // Chromium writes localStorage to the disk some seconds later
		}
	}
	ours.Kill()
	bare.Kill()
	start := func(s *Server, first, last string, factor float64) (listed, running, shifted float64) {
		browser.Kill()
		browser.Relaunch(b)
		p := browser.NewPage(b)
		p.BeforeScripts(thereWhen(first, last))
		p.throttle(factor)
		p.Go(s.URL + "/")
		p.Wait(`thereAt.first > 0 && thereAt.last > 0`)
		p.throttle(1)
		settledShift := p.Eval(`new Promise((r) => setTimeout(() => r(shifted), 1500))`)
		return number(b, p.Eval(`thereAt.first`)), number(b, p.Eval(`thereAt.last`)), number(b, settledShift)
	}
	for _, factor := range []float64{1, 4} {
		b.Run(fmt.Sprintf("slowed=%v", factor), func(b *testing.B) {
			var list, program, page, shifts []float64
			for b.Loop() {
				listed, running, shifted := start(ours, ".site", ".screen-sites:not(.kept-list) .site", factor)
				_, beside, _ := start(bare, "#note", "#note", factor)
				list, program = append(list, listed), append(program, running)
				page, shifts = append(page, beside), append(shifts, shifted)
			}
			b.ReportMetric(0, "ns/op")
			b.ReportMetric(middle(list), "ms-list")
			b.ReportMetric(middle(program), "ms-program")
			b.ReportMetric(middle(page), "ms-bare")
			b.ReportMetric(middle(list)/middle(page), "list/bare")
			b.ReportMetric(middle(program)/middle(page), "program/bare")
			b.ReportMetric(slices.Max(shifts), "layout-shift")
		})
	}
}

// betweenKeys is the pause of somebody who types fast with one thumb.
const betweenKeys = 150 * time.Millisecond

// bareEntry is a page with nothing but an entry, which takes down what the browser
// itself takes from a key of the keyboard to the entry's word that it has changed.
func bareEntry(b *testing.B, browser *Browser, factor float64) *Page {
	p := browser.NewPage(b)
	p.Go("data:text/html,<!DOCTYPE html><input id=entry value=4000>")
	p.Eval(`(() => { window.times = []; let pressed = 0;
		addEventListener("keydown", (e) => pressed = e.timeStamp, true);
		addEventListener("input", () => times.push(performance.now() - pressed));
		document.querySelector("#entry").focus(); document.querySelector("#entry").setSelectionRange(99, 99); })()`)
	p.throttle(factor)
	return p
}

// toFront makes a page the one that is looked at.
func (p *Page) toFront() {
	p.t.Helper()
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, page.BringToFront, cdp.Empty{})
		return err
	}))
}

// BenchmarkKeystroke measures from the moment a key is pressed, one of the
// keypad's or one of a keyboard's, to the moment the new drawing is in the page,
// on every demo site with the processor slowed down four times and on one as it is.
// Keys on a page with nothing but an entry come in turn with them. The keypad's are
// pressed with the mouse: the fingers that a debugger makes wait for the screen's
// next frame, whatever the processor.
func BenchmarkKeystroke(b *testing.B) {
	s := StartServer(b, requireServer(b), realBundle)
	browser := LaunchBrowser(b)
	for i, site := range demo.Sites() {
		factors := []float64{4}
		if i == 0 {
			factors = []float64{1, 4}
		}
		name, _ := strings.CutPrefix(site.Survey.Site.Name, "Demo: ")
		for _, keys := range []string{"keypad", "keyboard"} {
			for _, factor := range factors {
				b.Run(fmt.Sprintf("site=%s/keys=%s/slowed=%v", name, keys, factor), func(b *testing.B) {
					bare := bareEntry(b, browser, factor)
					p := browser.NewPage(b)
					p.BeforeScripts(shiftsCounted + keysTimed)
					p.Go(s.URL + "/site/" + site.ID + "/measure?field=opening.width")
					p.WaitRunning()
					p.Wait(`document.querySelector("#drawing-small svg") && document.querySelector("#entry")`)
					p.Wait(`document.activeElement === document.querySelector("#entry")`) // selected, which a key would replace
					p.Eval(`(document.querySelector("#entry").focus(), document.querySelector("#entry").setSelectionRange(99, 99))`)
					press := func(typed, named string) {
						if keys == "keypad" {
							p.mouse(input.DispatchMouseEventTypeMouseMoved, named)
						}
						have := p.Eval("times.length")
						if keys == "keyboard" {
							p.do(chromedp.KeyEvent(typed))
						} else {
							p.press(named)
							p.letGo(named)
						}
						p.Wait(`times.length > ` + have)
						time.Sleep(betweenKeys)
					}
					p.throttle(factor)
					for b.Loop() {
						p.toFront()
						for range 5 {
							press("\b", `[data-key="erase"]`)
							press("7", `[data-key="7"]`)
						}
						bare.toFront()
						for range 5 { // as many, for their slowest are compared
							bare.do(chromedp.KeyEvent("\b"))
							time.Sleep(betweenKeys)
							bare.do(chromedp.KeyEvent("7"))
							time.Sleep(betweenKeys)
						}
					}
					times, beside := numbers(b, p.Eval(`times.join(" ")`)), numbers(b, bare.Eval(`times.join(" ")`))
					b.ReportMetric(0, "ns/op")
					b.ReportMetric(part(times, 0.5), "ms-p50")
					b.ReportMetric(part(times, 0.95), "ms-p95")
					b.ReportMetric(part(times, 0.99), "ms-p99")
					b.ReportMetric(part(beside, 0.5), "ms-bare")
					b.ReportMetric(part(beside, 0.95), "ms-bare-p95")
					b.ReportMetric(part(beside, 0.99), "ms-bare-p99")
					b.ReportMetric(part(times, 0.5)/part(beside, 0.5), "key/bare")
					b.ReportMetric(number(b, p.Eval("shifted")), "layout-shift")
					p.throttle(1)
					settled(p)
					p.Close()
					bare.Close()
				})
			}
		}
	}
}

// memoryKept keeps the program's memory where a test finds it.
const memoryKept = `
	const keep = (r) => (window.memoryOf = (r.instance || r).exports.mem, r);
	const start = WebAssembly.instantiateStreaming;
	if (start) WebAssembly.instantiateStreaming = (...a) => start.apply(WebAssembly, a).then(keep);
	const plain = WebAssembly.instantiate;
	WebAssembly.instantiate = (...a) => plain.apply(WebAssembly, a).then(keep);`

// BenchmarkThousandEdits takes down what the program's memory is after a
// hundred edits and after a thousand more.
func BenchmarkThousandEdits(b *testing.B) {
	s := StartServer(b, requireServer(b), realBundle)
	browser := LaunchBrowser(b)
	p := browser.NewPage(b)
	p.BeforeScripts(memoryKept)
	p.Go(s.URL + "/site/00000000-0000-4000-8000-000000000002/measure?field=opening.width")
	p.WaitRunning()
	p.Wait(`document.querySelector("#drawing-small svg") && document.querySelector("#entry")`)
	edit := func(times int) {
		// Each turn is two edits of the entry as a keyboard makes them.
		for done := 0; done < times; done += 100 {
			p.Eval(`(async () => {
				const e = document.querySelector("#entry");
				for (let i = 0; i < 50; i++) for (const v of ["435", "4350"]) {
					e.value = v;
					e.dispatchEvent(new InputEvent("input", {bubbles: true}));
					await new Promise((r) => setTimeout(r, 0));
				}
			})()`)
			settled(p)
		}
	}
	size := func() float64 { return number(b, p.Eval("memoryOf.buffer.byteLength")) / 1e6 }
	for b.Loop() {
		edit(100)
		before, nodes := size(), number(b, p.Eval(`document.querySelectorAll("*").length`))
		edit(1000)
		b.ReportMetric(before, "MB-after-100")
		b.ReportMetric(size(), "MB-after-1100")
		b.ReportMetric(number(b, p.Eval(`document.querySelectorAll("*").length`))-nodes, "elements-more")
	}
	b.ReportMetric(0, "ns/op")
	require.Empty(b, p.Faults())
}

// BenchmarkWays measures from the tap on "Ways to build" to the first word of how far
// they have come and to all of them with their pictures, and the longest time for which
// the page heard nothing.
func BenchmarkWays(b *testing.B) {
	s := StartServer(b, requireServer(b), realBundle)
	browser := LaunchBrowser(b)
	for _, site := range []struct{ name, id string }{{"square", "1"}, {"rising", "6"}} {
		for _, factor := range []float64{1, 4} {
			b.Run(fmt.Sprintf("site=%s/slowed=%v", site.name, factor), func(b *testing.B) {
				var told, done, longest []float64
				for b.Loop() {
					p := browser.NewPage(b)
					p.Go(s.URL + "/site/00000000-0000-4000-8000-00000000000" + site.id + "/more")
					p.WaitRunning()
					p.Wait(`document.querySelector('main a[href$="/ways"]')`)
					settled(p)
					p.throttle(factor)
					times := numbers(b, p.Eval(`new Promise((end) => {
						let told = 0, longest = 0;
						const tapped = performance.now();
						new PerformanceObserver((list) => {
							for (const e of list.getEntries()) longest = Math.max(longest, e.duration);
						}).observe({type: "longtask"});
						new MutationObserver((_, me) => {
							if (!told && document.querySelector("main [role=status], main progress")) told = performance.now() - tapped;
							if (!document.querySelector(".way-card .thumb svg")) return;
							me.disconnect();
							const done = performance.now() - tapped;
							setTimeout(() => end([told, done, longest].join(" ")), 500);
						}).observe(document.body, {childList: true, subtree: true});
						document.querySelector('main a[href$="/ways"]').click();
					})`))
					told, done, longest = append(told, times[0]), append(done, times[1]), append(longest, times[2])
					p.throttle(1)
					p.Close()
				}
				b.ReportMetric(0, "ns/op")
				b.ReportMetric(middle(told), "ms-told")
				b.ReportMetric(middle(done), "ms-done")
				b.ReportMetric(middle(longest), "ms-longest-task")
			})
		}
	}
}

func number(t testing.TB, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}

func numbers(t testing.TB, text string) []float64 {
	t.Helper()
	var all []float64
	for _, word := range strings.Fields(text) {
		all = append(all, number(t, word))
	}
	require.NotEmpty(t, all)
	return all
}

func middle(values []float64) float64 { return part(values, 0.5) }

// part is the value below which this part of all lies.
func part(values []float64, of float64) float64 {
	sorted := slices.Sorted(slices.Values(values))
	return sorted[min(int(of*float64(len(sorted))), len(sorted)-1)]
}

// framesTimed takes down of each frame that the page draws when it was due and how long
// the page was busy with it.
const framesTimed = `
	window.frames = [];
	const frame = window.requestAnimationFrame;
	window.requestAnimationFrame = (do_) => frame((due) => {
		const began = performance.now();
		do_(due);
		frames.push([due, performance.now() - began]);
	});
	window.framesOf = () => {
		const all = frames.filter(([due], i) => i === 0 || due !== frames[i - 1][0]);
		const apart = all.slice(1).map(([due], i) => due - all[i][0]).filter((ms) => ms < 400);
		const busy = frames.map(([, ms]) => ms);
		frames.length = 0;
		return [apart.length, ...apart, ...busy].join(" ");
	};`

// BenchmarkOwner measures a frame of the gate that slides and of the picture that is
// turned, in the owner's view and on a photo: how long the page is busy with one, and how
// far apart two are.
func BenchmarkOwner(b *testing.B) {
	s := StartServer(b, requireServer(b), realBundle)
	browser := LaunchBrowser(b)
	report := func(b *testing.B, p *Page, do func()) {
		p.Eval(`framesOf()`)
		var apart, busy []float64
		for b.Loop() {
			do()
			all := numbers(b, p.Eval(`framesOf()`))
			n := int(all[0])
			apart, busy = append(apart, all[1:1+n]...), append(busy, all[1+n:]...)
		}
		b.ReportMetric(0, "ns/op")
		b.ReportMetric(part(busy, 0.5), "ms-busy-p50")
		b.ReportMetric(part(busy, 0.95), "ms-busy-p95")
		b.ReportMetric(part(apart, 0.5), "ms-apart-p50")
		b.ReportMetric(part(apart, 0.95), "ms-apart-p95")
		p.throttle(1)
		p.Close()
	}
	slide := func(p *Page, of string) func() {
		return func() {
			for _, view := range []string{"open", "shut"} {
				p.Eval(`document.querySelector('` + of + ` [data-view="` + view + `"]').click()`)
				p.Wait(`seen().open === ` + map[string]string{"open": "1", "shut": "0"}[view])
			}
		}
	}
	// What the browser does on this machine anyhow: a page with nothing but a square that moves.
	for _, factor := range []float64{1, 4} {
		b.Run(fmt.Sprintf("bare/slowed=%v", factor), func(b *testing.B) {
			p := browser.NewPage(b)
			p.BeforeScripts(framesTimed)
			p.Go("data:text/html,<!DOCTYPE html><div id=square style='position:absolute;width:9em;height:9em;background:teal'></div>")
			p.throttle(factor)
			report(b, p, func() {
				p.Eval(`new Promise((end) => {
					let n = 0;
					const move = () => {
						document.querySelector("#square").style.left = n + "px";
						if (n++ < 120) requestAnimationFrame(move);
						else end("");
					};
					move();
				})`)
			})
		})
	}
	for _, site := range []struct{ name, id string }{{"square", "1"}, {"rising", "6"}} {
		for _, factor := range []float64{1, 4} {
			start := func() *Page {
				p := browser.NewPage(b)
				p.BeforeScripts(spacesKept + framesTimed)
				p.Go(s.URL + "/site/00000000-0000-4000-8000-00000000000" + site.id + "/owner")
				p.Wait(`document.querySelector("#owner-view canvas") && seen() && seen().rise > 0`)
				settled(p)
				p.throttle(factor)
				return p
			}
			b.Run(fmt.Sprintf("slides/site=%s/slowed=%v", site.name, factor), func(b *testing.B) {
				p := start()
				report(b, p, slide(p, "main"))
			})
			b.Run(fmt.Sprintf("turns/site=%s/slowed=%v", site.name, factor), func(b *testing.B) {
				p := start()
				at := p.spotIn("#owner-space", 0.5, 0.5)
				report(b, p, func() {
					p.do(chromedp.DragAndDropXY(at.X-100, at.Y, at.X+100, at.Y+30, 60))
				})
			})
		}
	}
	for _, factor := range []float64{1, 4} {
		b.Run(fmt.Sprintf("photo/slowed=%v", factor), func(b *testing.B) {
			p := browser.NewPage(b)
			p.BeforeScripts(spacesKept + framesTimed)
			photoWithGate(b, p, s.URL)
			p.throttle(factor)
			report(b, p, slide(p, ".photo-gate"))
		})
	}
}
