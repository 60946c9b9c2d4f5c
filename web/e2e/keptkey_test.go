package e2e

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// keysKeptTimed takes the time from each key pressed to the end of the transaction
// that stored it, which the browser gives once it is on the disk.
const keysKeptTimed = `
	window.kept = []; window.began = [];
	let pressedAt = 0;
	addEventListener("pointerdown", (e) => pressedAt = e.timeStamp, true);
	const real = IDBDatabase.prototype.transaction;
	IDBDatabase.prototype.transaction = function (names, mode, ...rest) {
		const t = real.call(this, names, mode, ...rest);
		if (mode === "readwrite" && pressedAt) {
			const from = pressedAt;
			began.push(performance.now() - from);
			t.addEventListener("complete", () => kept.push(performance.now() - from));
		}
		return t;
	};
`

// BenchmarkKeyToDisk measures from the moment a key is pressed to the moment the
// browser says that it is on the disk, as it is and with the processor slowed down
// four times.
func BenchmarkKeyToDisk(b *testing.B) {
	s := StartServer(b, requireServer(b), realBundle)
	browser := LaunchBrowser(b)
	for _, factor := range []float64{1, 4} {
		b.Run(fmt.Sprintf("slowed=%v", factor), func(b *testing.B) {
			p := browser.NewPage(b)
			p.BeforeScripts(keysKeptTimed)
			p.Go(s.URL + "/site/00000000-0000-4000-8000-000000000006/measure?field=opening.width")
			p.WaitRunning()
			p.Wait(`document.querySelector("#drawing-small svg") && document.querySelector("#entry")`)
			settled(p)
			p.Eval(`(document.querySelector("#entry").focus(), document.querySelector("#entry").setSelectionRange(99, 99))`)
			p.throttle(factor)
			for b.Loop() {
				for i := range 10 {
					key := []string{`[data-key="erase"]`, `[data-key="7"]`}[i%2]
					p.press(key)
					p.letGo(key)
					time.Sleep(betweenKeys)
				}
			}
			settled(p)
			times, begun := numbers(b, p.Eval(`kept.join(" ")`)), numbers(b, p.Eval(`began.join(" ")`))
			b.ReportMetric(0, "ns/op")
			b.ReportMetric(part(times, 0.5), "ms-p50")
			b.ReportMetric(part(times, 0.95), "ms-p95")
			b.ReportMetric(part(begun, 0.5), "ms-begun-p50")
			p.throttle(1)
			p.Close()
		})
	}
}

// The mark beside a value says "kept" when the browser has it on the disk and not
// before, and never of a key that no program heard.
func TestTheMarkSaysWhatIsOnTheDisk(t *testing.T) {
	t.Parallel()
	p := askedForWidth(t, "1")
	mark := func() string {
		return p.Eval(`[...document.querySelectorAll(".kept > span")].filter((e) => getComputedStyle(e).visibility === "visible")
			.map((e) => e.getAttribute("aria-label")).join(" and ")`)
	}
	require.Equal(t, "kept", mark())

	// Another transaction keeps the store busy: what is typed waits for it.
	p.Eval(`new Promise((begun) => {
		indexedDB.open("pegpour").onsuccess = (opened) => {
			const db = opened.target.result, names = [...db.objectStoreNames];
			const store = db.transaction(names, "readwrite").objectStore(names[0]);
			window.busy = true;
			const again = () => busy ? store.count().onsuccess = again : db.close();
			store.count().onsuccess = () => (begun(), again());
		};
	})`)
	p.Eval(`document.querySelector("#entry").select()`)
	for _, key := range []string{"4", "2", "5", "0"} {
		p.Tap(`[data-key="` + key + `"]`)
		require.Equal(t, "not kept yet", mark(), "after %s", key)
	}
	time.Sleep(300 * time.Millisecond)
	require.Equal(t, "not kept yet", mark(), "while the store is busy")
	require.Equal(t, "4250", p.Value("#entry"))
	p.Eval(`void (window.busy = false)`)
	settled(p)
	p.Wait(`getComputedStyle(document.querySelector(".kept-yes")).visibility === "visible"`)
	require.Equal(t, "kept", mark())
	require.Empty(t, p.Faults())

	// The program is gone: what is typed now is heard by nobody.
	p.Eval(`(() => {
		const e = document.querySelector("#entry"), deaf = e.cloneNode();
		e.replaceWith(deaf);
		deaf.value = "9";
		deaf.dispatchEvent(new InputEvent("input", {bubbles: true}));
	})()`)
	require.Equal(t, "not kept yet", mark())
}

// What was selected is replaced by the first digit also where a value is come to
// from All figures, and minus begins anew.
func TestTheFirstKeyReplacesTheValue(t *testing.T) {
	t.Parallel()
	p := askedForWidth(t, "2")
	selected := `document.activeElement?.id === "entry" && document.activeElement.selectionStart === 0 &&
		document.activeElement.selectionEnd === document.activeElement.value.length && document.activeElement.value !== ""`
	site := p.Eval(`location.pathname.replace("/measure", "")`)
	come := func(field string) {
		t.Helper()
		p.Eval(`document.querySelector('a.step-all, a[href$="/figures"]')?.click()`)
		if p.Eval(`location.pathname`) != site+"/figures" {
			p.Tap(`a.tab[href$="/more"]`)
			p.Tap(`a[href$="/figures"]`)
		}
		p.Tap(`a[href$="field=` + field + `"]`)
		p.Wait(selected)
	}
	come("opening.width")
	p.Tap(`[data-key="5"]`)
	p.Wait(`document.querySelector("#entry").value === "5"`)
	settled(p)
	come("drive.latchEdge.along")
	p.Tap(`[data-key="−"]`)
	p.Tap(`[data-key="1"]`)
	p.Tap(`[data-key="0"]`)
	p.Wait(`document.querySelector("#entry").value === "-10"`)
	p.Tap(`[data-key="−"]`)
	p.Wait(`document.querySelector("#entry").value === "10"`)
	settled(p)
	require.Empty(t, p.Faults())
}

// A screen that is gone to begins at its top.
func TestANewScreenBeginsAtItsTop(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+"/site/00000000-0000-4000-8000-000000000002/set-out")
	top := func() string {
		return p.Eval(`String(Math.max(scrollY, document.querySelector("#content").scrollTop))`)
	}
	down := func() {
		t.Helper()
		p.Eval(`void (document.querySelector("#content").style.paddingBottom = "2000px")`)
		p.Eval(`scrollTo({top: 400, behavior: "instant"})`)
		require.NotEqual(t, "0", top(), "the screen is long enough")
	}
	for _, c := range []struct{ link, shows string }{
		{`a.tab[href$="/pour"]`, `[data-figure="concrete.order"]`},
		{`a.tab[href$="/more"]`, `a[href$="/figures"]`},
		{`a[href$="/figures"]`, `.figure-link`},
		{`a.tab[href$="/watch"]`, `.watch`},
	} {
		p.Wait(`document.querySelector('` + c.link + `')`)
		down()
		p.Eval(`document.querySelector('` + c.link + `').click()`)
		p.Wait(`document.querySelector('` + c.shows + `')`)
		require.Equal(t, "0", top(), c.link)
	}
	require.Empty(t, p.Faults())
}
