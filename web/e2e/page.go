package e2e

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	cdplog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// The size of the phone that the tests are.
const (
	phoneWidth  = 390
	phoneHeight = 844
)

// Page is one tab of a browser.
type Page struct {
	t      testing.TB
	ctx    context.Context
	cancel context.CancelFunc

	keeps bool // of its browser

	mu        sync.Mutex
	faults    []string
	panicking bool // what the console says from here on is a panic
	requests  []string
}

// NewPage opens an empty tab.
func (b *Browser) NewPage(t testing.TB) *Page {
	t.Helper()
	p := &Page{t: t, keeps: b.keeps}
	for tries := 1; ; tries++ {
		p.ctx, p.cancel = chromedp.NewContext(b.root)
		opened := make(chan error, 1)
		go func() { opened <- chromedp.Listen(p.ctx, p.listen) }()
		select {
		case err := <-opened:
			if err != nil {
				t.Fatal(err)
			}
		case <-time.After(20 * time.Second):
			// The process that the browser kept ready for it was killed with others.
			p.cancel()
			if tries < 3 {
				continue
			}
			t.Fatal("the browser opens no tab")
		}
		break
	}
	p.do(
		chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
			if _, err := cdp.Call(ctx, target, network.Enable, network.EnableParams{}); err != nil {
				return err
			}
			_, err := cdp.Call(ctx, target, cdplog.Enable, cdp.Empty{})
			return err
		}),
		chromedp.EmulateViewport(phoneWidth, phoneHeight,
			chromedp.EmulateScale(2), chromedp.EmulateMobile, chromedp.EmulateTouch),
	)
	if !p.keeps {
		p.BeforeScripts(putOff)
	}
	return p
}

// Open opens a tab at an address and waits until the program runs.
func (b *Browser) Open(t testing.TB, address string) *Page {
	t.Helper()
	p := b.NewPage(t)
	p.Go(address)
	p.WaitRunning()
	return p
}

func (p *Page) listen(event any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		p.requests = append(p.requests, e.Request.URL)
	case *runtime.EventExceptionThrown:
		fault := e.ExceptionDetails.Text
		if e.ExceptionDetails.Exception != nil {
			fault += " " + e.ExceptionDetails.Exception.Description
		}
		p.faults = append(p.faults, fault)
	case *runtime.EventConsoleAPICalled:
		var words []string
		for _, argument := range e.Args {
			words = append(words, string(argument.Value)+argument.Description)
		}
		said := strings.Join(words, " ")
		// A Go program writes its panics as plain lines.
		p.panicking = p.panicking || strings.Contains(said, "panic:") || strings.Contains(said, "fatal error:")
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeAssert || p.panicking {
			p.faults = append(p.faults, "console: "+said)
		}
	case *cdplog.EventEntryAdded:
		if e.Entry.Level == cdplog.EntryLevelError {
			p.faults = append(p.faults, fmt.Sprintf("%s: %s %s", e.Entry.Source, e.Entry.Text, e.Entry.URL))
		}
	}
}

// Faults returns what the page complained about so far: exceptions, console
// errors, refusals by the content security policy, requests that failed.
func (p *Page) Faults() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return slices.Clone(p.faults)
}

// Requests returns the address of every request that the page made.
func (p *Page) Requests() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return slices.Clone(p.requests)
}

func (p *Page) do(actions ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	get(p, chromedp.Steps(actions...))
}

// get runs an action and returns its value.
func get[T any](p *Page, action chromedp.Action[T]) T {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	value, err := chromedp.Run(ctx, action)
	if err != nil {
		p.t.Fatalf("%v\nthe page says: %v", err, p.Faults())
	}
	return value
}

// BeforeScripts runs a script in every document from now on, before its own.
func (p *Page) BeforeScripts(script string) {
	p.t.Helper()
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, page.AddScriptToEvaluateOnNewDocument,
			page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
		return err
	}))
}

// Go opens an address in this tab.
func (p *Page) Go(address string) {
	p.t.Helper()
	p.do(chromedp.Navigate(address))
}

// Show goes to a screen of the program that the page runs, without loading the page
// anew. It goes by way of an address of the same program that leads nowhere, so that
// nothing of the screen before is taken for the one that comes.
func (p *Page) Show(path string) {
	p.t.Helper()
	between := map[string]string{"office": "/office", "building": "/site/none/build"}[p.Eval("pegpourProgram()")] + "/between-two-screens"
	p.Eval(`goappNav(location.origin + ` + quote(between) + `)`)
	p.Wait(`document.querySelector("#lost")`)
	p.Eval(`goappNav(location.origin + ` + quote(path) + `)`)
	p.Wait(`location.pathname !== ` + quote(between) + ` && (` + quote(path) + ` === "/no-such-place" || !document.querySelector("#lost"))`)
}

// Reload loads the page anew.
func (p *Page) Reload() {
	p.t.Helper()
	p.do(chromedp.Reload())
	p.WaitRunning()
}

// Close closes the tab.
func (p *Page) Close() { p.cancel() }

// WaitRunning waits until the program has put its first screen up.
func (p *Page) WaitRunning() {
	p.t.Helper()
	p.Wait(`document.documentElement && document.documentElement.dataset.app === "running"`)
}

// WaitKept waits until everything is on the device for use without signal.
func (p *Page) WaitKept() {
	p.t.Helper()
	if !p.keeps {
		p.t.Fatal("this browser keeps nothing: launch it Keeping")
	}
	p.Wait(`window.pegpourShell && pegpourShell.offline === "ready" && navigator.serviceWorker.controller !== null`)
}

// Wait waits until a JavaScript expression is true, also across reloads. It asks less
// often what takes long: asking is work for the page as well.
func (p *Page) Wait(expression string) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	for begun := time.Now(); ; {
		holds, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("!!("+expression+")"))
		if err == nil && holds {
			return
		}
		select {
		case <-ctx.Done():
			p.t.Fatalf("still not so: %s (last error: %v)\nthe page shows: %s\nand says: %v",
				expression, err, p.lastWords(), p.Faults())
		case <-time.After(min(25*time.Millisecond+time.Since(begun)/20, 100*time.Millisecond)):
		}
	}
}

func (p *Page) lastWords() string {
	ctx, cancel := context.WithTimeout(p.ctx, 5*time.Second)
	defer cancel()
	words, err := chromedp.Run(ctx, chromedp.Evaluate[string]("document.body.innerText"))
	if err != nil {
		return err.Error()
	}
	return words
}

// Eval evaluates a JavaScript expression, waits for it when it is a promise,
// and returns it as text.
func (p *Page) Eval(expression string) string {
	p.t.Helper()
	return get(p, chromedp.Evaluate[string]("(async () => String(await ("+expression+")))()", chromedp.EvalAwaitPromise))
}

// Test returns the selector of the element with this data-test mark.
func Test(mark string) string { return `[data-test="` + mark + `"]` }

// Text waits for the element and returns its text, with plain spaces.
func (p *Page) Text(selector string) string {
	p.t.Helper()
	find := "document.querySelector(" + quote(selector) + ")"
	p.Wait(find)
	return p.Eval(find + `.innerText.replaceAll("\u00a0", " ")`)
}

// says is an expression: the element is there and has the words in its text.
func says(selector, words string) string {
	return `(document.querySelector(` + quote(selector) + `) || {innerText: ""}).innerText.includes(` + quote(words) + `)`
}

// fill is an expression that puts a text into a field as typing does.
func fill(selector, text string) string {
	return `(() => {
		const e = document.querySelector(` + quote(selector) + `);
		e.value = ` + quote(text) + `;
		e.dispatchEvent(new InputEvent("input", {bubbles: true}));
	})()`
}

// selectAll is an expression that goes to a field and selects what stands in it.
func selectAll(selector string) string {
	return `(() => {
		const e = document.querySelector(` + quote(selector) + `);
		e.scrollIntoView({block: "center", behavior: "instant"});
		e.focus();
		e.select();
	})()`
}

// Value waits for the field and returns what stands in it.
func (p *Page) Value(selector string) string {
	p.t.Helper()
	find := "document.querySelector(" + quote(selector) + ")"
	p.Wait(find)
	return p.Eval(find + ".value")
}

// Tap waits for the element and presses it where a thumb would: at its middle,
// which must be on screen and not under anything else.
func (p *Page) Tap(selector string) {
	p.t.Helper()
	p.tap("document.querySelector("+quote(selector)+")", selector)
}

// TapName presses the button, link or field with this accessible name.
func (p *Page) TapName(name string) {
	p.t.Helper()
	p.tap(`[...document.querySelectorAll("button, a[href], input, select, textarea, summary, [role]")].find((e) => {
		const label = e.labels && e.labels[0] && e.labels[0].innerText;
		return (e.getAttribute("aria-label") || label || e.innerText || "").trim() === `+quote(name)+`;
	})`, name)
}

// tap presses what find finds once it stands still: on a busy machine a page that
// scrolls is drawn later than it says, and the finger would land where it was before.
// A finger that lands beside all the same taps again, twice.
func (p *Page) tap(find, name string) {
	p.t.Helper()
	p.Wait(find)
	type place struct {
		X, Y  float64
		Above string
	}
	for range 3 {
		at := get(p, chromedp.Evaluate[place](`(async () => {
			const drawn = () => new Promise((done) => { requestAnimationFrame(done); setTimeout(done, 250); });
			const find = () => `+find+`;
			const spot = () => {
				const e = find();
				if (!e) return "";
				const box = e.getBoundingClientRect();
				return [box.x, box.y, box.width, box.height].join();
			};
			const free = (e) => {
				const box = e.getBoundingClientRect();
				const top = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
				return top && (top === e || e.contains(top));
			};
			let e;
			for (let was = null, tries = 0; tries < 100; tries++) {
				e = find();
				if (!e) { await drawn(); continue; }
				e.scrollIntoView({block: "nearest", inline: "nearest", behavior: "instant"});
				await drawn(); await drawn();
				const now = spot();
				if (now === was && find() === e && free(e)) break;
				was = now;
			}
			if (!e) return {X: 0, Y: 0, Above: "nothing: it is gone"};
			const box = e.getBoundingClientRect(), X = box.x + box.width / 2, Y = box.y + box.height / 2;
			const top = document.elementFromPoint(X, Y);
			if (!top || !(top === e || e.contains(top))) {
				return {X, Y, Above: top ? top.outerHTML.slice(0, 200) : "nothing: it is off the screen"};
			}
			window.fingerLanded = "";
			addEventListener("pointerdown", (event) => {
				window.fingerLanded = event.composedPath().includes(find()) ? "on it" : "beside it, on " + event.target.outerHTML.slice(0, 200);
			}, {capture: true, once: true});
			return {X, Y, Above: ""};
		})()`, chromedp.EvalAwaitPromise))
		if at.Above != "" {
			p.t.Fatalf("%q cannot be pressed, what is there is %s", name, at.Above)
		}
		p.do(chromedp.TapXY(at.X, at.Y))
		// A tap may lead to another page: then there is nothing to ask any more.
		ctx, cancel := context.WithTimeout(p.ctx, patience)
		landed, err := chromedp.Run(ctx, chromedp.Evaluate[string](`String(window.fingerLanded)`))
		cancel()
		if err != nil || !strings.HasPrefix(landed, "beside it") {
			return
		}
		p.t.Logf("the finger for %q landed %s", name, landed)
	}
}

// spot is a place of the window.
type spot struct{ X, Y float64 }

// spotIn is the place at these shares of an element's width and height.
func (p *Page) spotIn(selector string, across, down float64) spot {
	p.t.Helper()
	return get(p, chromedp.Evaluate[spot](fmt.Sprintf(`(() => {
		const box = document.querySelector(%s).getBoundingClientRect();
		return {X: box.x + box.width * %v, Y: box.y + box.height * %v};
	})()`, quote(selector), across, down)))
}

// press presses the mouse's button on an element and holds it.
func (p *Page) press(selector string) {
	p.t.Helper()
	p.mouse(input.DispatchMouseEventTypeMousePressed, selector)
}

// letGo lets the mouse's button go on an element.
func (p *Page) letGo(selector string) {
	p.t.Helper()
	p.mouse(input.DispatchMouseEventTypeMouseReleased, selector)
}

func (p *Page) mouse(what input.DispatchMouseEventType, selector string) {
	p.t.Helper()
	at := p.spotIn(selector, 0.5, 0.5)
	event := input.DispatchMouseEventParams{
		Type: what, X: at.X, Y: at.Y, Button: input.MouseButtonLeft, ClickCount: 1,
	}
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, input.DispatchMouseEvent, event)
		return err
	}))
}

// finger puts fingers on the elements named, or takes all away.
func (p *Page) finger(what input.DispatchTouchEventType, selectors ...string) {
	p.t.Helper()
	points := []*input.TouchPoint{}
	for i, selector := range selectors {
		at := p.spotIn(selector, 0.5, 0.5)
		points = append(points, &input.TouchPoint{X: at.X, Y: at.Y, ID: new(float64(i))})
	}
	event := input.DispatchTouchEventParams{Type: what, TouchPoints: points}
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, input.DispatchTouchEvent, event)
		return err
	}))
}

// Type taps the field and types, key by key, after what stands in it.
func (p *Page) Type(selector, text string) {
	p.t.Helper()
	p.Tap(selector)
	p.do(chromedp.KeyEvent(text))
}

// Screenshot writes a picture of the screen to shots/<name>.png.
func (p *Page) Screenshot(name string) {
	p.t.Helper()
	picture := get(p, chromedp.CaptureScreenshot())
	if err := os.MkdirAll("shots", 0o755); err != nil {
		p.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join("shots", name+".png"), picture, 0o644); err != nil {
		p.t.Fatal(err)
	}
}

func quote(text string) string {
	quoted, err := json.Marshal(text)
	if err != nil {
		return `""` // cannot happen: a string always has a form
	}
	return string(quoted)
}
