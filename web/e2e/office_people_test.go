package e2e

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// The office adds a person, sees the work by crew, gives another program a key, has an
// address told of changes, changes a rule of the shop and reads who changed it.
func TestOfficeHasPeopleAndRules(t *testing.T) {
	t.Parallel()
	s := StartYard(t, requireServer(t), realBundle)
	s.Device(t, "crew", "Blue ute").Put(demoDocument(0, millLane, "Mill Lane 3"))
	p := officePage(t, s, LaunchBrowser(t))
	sized := func(name string) {
		p.Screenshot(name + "-desk")
		p.do(chromedp.EmulateViewport(360, 640))
		p.Wait(`document.documentElement.scrollWidth <= 360`)
		p.Wait(`document.querySelector(".office-nav").offsetHeight <= 64`) // one line
		p.Screenshot(name + "-phone")
		deskSize(p)
	}
	p.Show("/office/people")
	p.Wait(`document.querySelector('[data-crew=""]')`)
	p.Type("#user-name", "Ute Berg")
	p.Tap(`[data-do="add-user"]`)
	p.Wait(`document.querySelector("[data-user]")`)
	require.Contains(t, p.Text("[data-user]"), "Ute Berg")
	p.Type("#machine-name", "Accounts")
	p.Tap(`[data-do="add-machine"]`)
	p.Wait(`document.querySelector('[data-secret="machine"]').textContent.length > 40`)
	p.Type("#hook-url", "https://accounts.example/hook")
	p.Tap(`[data-do="add-hook"]`)
	p.Wait(`document.querySelector('[data-secret="hook"]').textContent.startsWith("whsec_")`)
	sized("office-people")

	p.Show("/office/rules")
	p.Wait(`document.getElementById("rule-search")`)
	p.Type("#rule-search", "strip width")
	p.Wait(`document.getElementById("rule-strip.width")`)
	p.Eval(`(() => { const e = document.getElementById("rule-strip.width"); e.value = "700"; e.dispatchEvent(new Event("change")); })()`)
	p.Wait(`document.querySelector(".past .done")`)
	require.Contains(t, p.Text(".past .done"), "700")
	sized("office-rules")
	p.Show("/office/devices")
	p.Wait(`document.querySelector(".crew-of")`)
	p.Eval(`(() => { const e = document.getElementById("code-person"); e.selectedIndex = 1; e.dispatchEvent(new Event("change")); })()`)
	p.Wait(`document.querySelectorAll("[data-code]").length === 1`)
	sized("office-devices")
	p.do(chromedp.EmulateViewport(360, 640))
	p.Show("/office/devices")
	p.Wait(`document.getElementById("code-person")`)
	p.Wait(`(() => { const r = document.getElementById("office-here").getBoundingClientRect(); return r.left >= 0 && r.right <= 360; })()`)
	p.Eval(`(() => { const e = document.getElementById("code-person"); e.selectedIndex = 1; e.dispatchEvent(new Event("change")); })()`)
	p.Tap("[data-code]")
	p.Wait(`document.querySelector("[data-pairing]")`)
	p.Eval(`fetch("/api/v1/pair", {method: "POST", headers: {"Content-Type": "application/json"},
		body: JSON.stringify({code: document.querySelector("[data-pairing]").textContent, name: "Ute's phone"})})`)
	p.Wait(`document.querySelector("[data-arrived]")`)
	p.Wait(`[...document.querySelectorAll("[data-device]")].some(e => e.textContent.includes("Ute's phone") && e.textContent.includes("Ute Berg"))`)
	deskSize(p)
	p.Show("/office/health")
	p.Wait(`document.getElementById("limit-yard-sites")`)
	require.Contains(t, p.Text("main"), "The server makes no back-ups by itself")
	p.Type("#limit-yard-sites", "0")
	p.Tap(`[data-do="limits"]`)
	p.Wait(says("main", "The limits are set"))
	sized("office-health")
}
