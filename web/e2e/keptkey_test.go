package e2e

import (
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

// A key is on the disk soon after it was pressed, also on a slow phone: see
// keysKeptTimed.
func TestAKeyIsOnTheDiskSoon(t *testing.T) {
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).NewPage(t)
	p.BeforeScripts(keysKeptTimed)
	p.Go(s.URL + "/site/00000000-0000-4000-8000-000000000006/measure?field=opening.width")
	p.WaitRunning()
	p.Wait(`document.querySelector("#drawing-small svg") && document.querySelector("#entry")`)
	settled(p)
	p.Eval(`(document.querySelector("#entry").focus(), document.querySelector("#entry").setSelectionRange(99, 99))`)
	p.throttle(4)
	for i := range 40 {
		key := []string{`[data-key="erase"]`, `[data-key="7"]`}[i%2]
		p.press(key)
		p.letGo(key)
		time.Sleep(betweenKeys)
	}
	settled(p)
	times := numbers(t, p.Eval(`kept.join(" ")`))
	began := numbers(t, p.Eval(`began.join(" ")`))
	t.Logf("from a key to the disk at a quarter of the speed: half %.0f, 95 of 100 %.0f ms; begun %.0f, %.0f", part(times, 0.5), part(times, 0.95), part(began, 0.5), part(began, .95))
	p.throttle(1)
	require.GreaterOrEqual(t, len(times), 40)
	require.Less(t, part(times, 0.5), 50.0)
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
	come("drive.runBackEdge.along")
	p.Tap(`[data-key="−"]`)
	p.Tap(`[data-key="1"]`)
	p.Tap(`[data-key="0"]`)
	p.Wait(`document.querySelector("#entry").value === "-10"`)
	p.Tap(`[data-key="−"]`)
	p.Wait(`document.querySelector("#entry").value === "10"`)
	settled(p)
	require.Empty(t, p.Faults())
}

// A key that is faster than the cursor is not taken away by the next one.
func TestAFastKeyIsNotSelected(t *testing.T) {
	t.Parallel()
	p := askedForWidth(t, "1")
	p.Go(p.Eval(`location.href.replace("opening.width", "opening.postRunBack")`))
	p.WaitRunning()
	p.Wait(`document.activeElement?.id === "entry"`)
	asked := p.Eval(`document.querySelector("#entry").dataset.entry`)
	// Typed as soon as the next question is on the page, before its cursor is set.
	p.Eval(`(() => {
		const e = document.querySelector("#entry"), select = e.select;
		e.select = () => { window.selectedText = e.value; select.call(e); };
		new MutationObserver((_, seen) => {
			seen.disconnect();
			e.value = "1";
			e.dispatchEvent(new InputEvent("input", {bubbles: true}));
		}).observe(e, {attributes: true, attributeFilter: ["data-entry"]});
	})()`)
	p.Tap(`[data-key="next"]`)
	p.Wait(`document.querySelector("#entry").dataset.entry !== ` + quote(asked))
	p.Wait(`document.activeElement.id === "entry" && document.querySelector("#entry").value === "1"`)
	time.Sleep(300 * time.Millisecond)
	require.Equal(t, "1 1", p.Eval(`document.querySelector("#entry").selectionStart + " " + document.querySelector("#entry").selectionEnd`))
	require.Equal(t, "undefined", p.Eval(`String(window.selectedText)`))
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
		p.Eval(`scrollTo({top: 400, behavior: "instant"})`)
		require.NotEqual(t, "0", top(), "the screen is long enough")
	}
	for _, c := range []struct{ link, shows string }{
		{`a.tab[href$="/pour"]`, `[data-figure="concrete.order"]`},
		{`a.tab[href$="/more"]`, `a[href$="/figures"]`},
		{`a[href$="/figures"]`, `.figure-link`},
		{`a.tab[href$="/watch"]`, `.watch`},
	} {
		p.Wait(`document.documentElement.scrollHeight > innerHeight + 400`)
		down()
		p.Eval(`document.querySelector('` + c.link + `').click()`)
		p.Wait(`document.querySelector('` + c.shows + `')`)
		require.Equal(t, "0", top(), c.link)
	}
	require.Empty(t, p.Faults())
}
