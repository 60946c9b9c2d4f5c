package e2e

import (
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// askedForWidth opens a demo site at the question of its opening's width.
func askedForWidth(t *testing.T, demo string) *Page {
	t.Helper()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+"/site/00000000-0000-4000-8000-00000000000"+demo+"/measure?field=opening.width")
	p.Wait(`document.querySelector("#drawing-small svg") && document.querySelector("#entry")`)
	settled(p)
	return p
}

// A key's drawing is on the page before the screen around it is drawn anew,
// which follows once no key is pressed.
func TestKeyShowsItsDrawingFirst(t *testing.T) {
	t.Parallel()
	p := askedForWidth(t, "2")
	p.throttle(8) // a turn is then longer than the framework's frame
	first := 0
	keys := []string{"4360", "4370", "4380", "4390", "4400", "4410"}
	for _, typed := range keys {
		settled(p)
		time.Sleep(100 * time.Millisecond) // what the store's answer has the screen show
		news := p.Eval(`(() => {
			const part = (selector) => document.querySelector(selector);
			const parts = () => [part("#drawing-small").innerHTML, part("#entry-says").textContent];
			const [drawing, says] = parts(), e = document.querySelector("#entry");
			e.value = "` + typed + `";
			e.dispatchEvent(new InputEvent("input", {bubbles: true}));
			const [drawn, said] = parts();
			return [drawn !== drawing && "drawing", said !== says && "words"].filter(Boolean).join(" and ");
		})()`)
		require.Contains(t, news, "drawing", "what is new when the key's turn ends")
		if news == "drawing" {
			first++
		}
		p.Wait(`document.querySelector("#entry-says").innerText.startsWith("Read as ` + typed + `")`)
	}
	// The turn of one key or another may fall together with a screen that was due.
	require.GreaterOrEqual(t, first, len(keys)-2, "keys whose drawing came before the screen around it")
	p.throttle(1)
	settled(p)
	require.Empty(t, p.Faults())
}

// A key that moves what is drawn, and adds nothing, changes the elements that are there:
// making them anew takes a browser twice as long.
func TestKeyKeepsTheElementsOfItsDrawing(t *testing.T) {
	t.Parallel()
	p := askedForWidth(t, "1")
	p.Eval(fill("#entry", "4350"))
	settled(p)
	require.Equal(t, "kept of all, drawn anew", p.Eval(`(() => {
		const all = () => [...document.querySelectorAll("#drawing-small svg > g *")];
		const before = all(), picture = document.querySelector("#drawing-small").innerHTML;
		`+fill("#entry", "4360")+`;
		const kept = all().length === before.length && before.every((e) => e.isConnected);
		return (kept ? "kept of all, " : "others, ") + (document.querySelector("#drawing-small").innerHTML !== picture ? "drawn anew" : "not drawn");
	})()`))
	require.Empty(t, p.Faults())
}

// The store is called in a turn of its own, also where a key's takes long.
func TestKeysTurnEndsBeforeTheStoreIsCalled(t *testing.T) {
	t.Parallel()
	p := askedForWidth(t, "7")
	p.Eval(`(() => {
		window.asked = 0;
		const real = IDBDatabase.prototype.transaction;
		IDBDatabase.prototype.transaction = function (...a) { asked++; return real.apply(this, a); };
	})()`)
	within, before := 0, p.Eval("asked")
	for i := range 10 {
		key := []string{"erase", "7"}[i%2]
		settled(p)
		time.Sleep(300 * time.Millisecond)
		p.throttle(20) // for the key's turn alone: a browser that is slowed is busy all the time
		if p.Eval(`(() => {
			const before = asked;
			document.querySelector('[data-key="`+key+`"]').click();
			return asked - before;
		})()`) != "0" {
			within++
		}
		p.throttle(1)
	}
	settled(p)
	require.NotEqual(t, before, p.Eval("asked"), "the store was called")
	// One may meet another call that was due.
	require.LessOrEqual(t, within, 1, "keys within whose turn the store was called")
	require.Empty(t, p.Faults())
}

// What keys have drawn bit by bit is what a fresh start draws, its words too.
func TestKeysDrawWhatAStartDraws(t *testing.T) {
	t.Parallel()
	p := askedForWidth(t, "7")
	picture := func() string { return p.Eval(`document.querySelector("#drawing-small").innerHTML`) }
	seen := map[string]bool{picture(): true}
	for _, c := range []struct {
		says string
		keys []string
	}{
		{"Opening 5200.", []string{"5", "52", "520", "5200"}},
		{"Opening 3100.", []string{"", "3", "31x", "310", "3100"}},
		{"Opening 4000.", []string{"310 parsecs", ""}}, // not measured: as the first start assumes it
	} {
		for _, typed := range c.keys {
			p.Eval(fill("#entry", typed))
		}
		p.Wait(`document.querySelector("#drawing-small desc").textContent.startsWith(` + quote(c.says) + `)`)
		settled(p)
		byKeys := picture()
		require.False(t, seen[byKeys], "nothing was drawn for %q", c.keys)
		seen[byKeys] = true
		p.Reload()
		p.Wait(`document.querySelector("#drawing-small svg") && document.querySelector("#drawing-small desc").textContent`)
		settled(p)
		require.Equal(t, picture(), byKeys, "after %q", c.keys)
	}
	require.Empty(t, p.Faults())
}

// A key of the keypad types when it is pressed and once, by mouse, by finger, by
// two thumbs at a time and from the keyboard; what it typed is drawn before it
// is let go.
func TestKeypadTypesWhenPressed(t *testing.T) {
	t.Parallel()
	p := askedForWidth(t, "1")
	p.Tap(`[data-key="erase"]`)
	p.Eval(`document.querySelector("#entry").select()`)
	p.Tap(`[data-key="erase"]`)
	require.Empty(t, p.Value("#entry"))
	drawn := func() string { return p.Eval(`document.querySelector("#drawing-small").innerHTML`) }

	empty := drawn()
	p.press(`[data-key="4"]`)
	require.Equal(t, "4", p.Value("#entry"), "while the key is held")
	p.letGo(`[data-key="4"]`)
	require.Equal(t, "4", p.Value("#entry"), "when it was let go")
	require.Equal(t, "entry", p.Eval("document.activeElement.id"))

	p.finger(input.DispatchTouchEventTypeTouchStart, `[data-key="2"]`)
	p.Wait(`document.querySelector("#entry").value === "42"`)
	p.finger(input.DispatchTouchEventTypeTouchStart, `[data-key="2"]`, `[data-key="5"]`)
	p.Wait(`document.querySelector("#entry").value === "425"`)
	p.finger(input.DispatchTouchEventTypeTouchEnd)
	p.finger(input.DispatchTouchEventTypeTouchStart, `[data-key="0"]`)
	p.Wait(`document.querySelector("#entry").value === "4250"`)
	require.NotEqual(t, empty, drawn(), "the drawing while the last key is held")
	p.finger(input.DispatchTouchEventTypeTouchEnd)
	time.Sleep(300 * time.Millisecond)
	require.Equal(t, "4250", p.Value("#entry"), "once each")

	p.Eval(`document.querySelector('[data-key="7"]').focus()`)
	p.do(chromedp.KeyEvent(" "))
	p.Wait(`document.querySelector("#entry").value === "42507"`)
	p.Eval(`document.querySelector('[data-key="erase"]').focus()`)
	p.do(chromedp.KeyEvent("\r"))
	p.Wait(`document.querySelector("#entry").value === "4250"`)

	// What goes on waits until it is let go, and so can be called off.
	asked := p.Text("#asked")
	p.press(`[data-key="next"]`)
	p.letGo("#drawing-small")
	time.Sleep(300 * time.Millisecond)
	require.Equal(t, asked, p.Text("#asked"))

	// On a screen that scrolls a finger on a key may be about to scroll.
	p.Eval(`(() => {
		document.querySelector(".content").style.paddingBottom = "600px";
		document.querySelector('[data-key="1"]').scrollIntoView({block: "center"});
	})()`)
	p.press(`[data-key="1"]`)
	require.Equal(t, "4250", p.Value("#entry"))
	p.letGo(`[data-key="1"]`)
	p.Wait(`document.querySelector("#entry").value === "42501"`)
	settled(p)
	require.Empty(t, p.Faults())
}
