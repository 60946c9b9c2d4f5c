package e2e

import (
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// A phone deletes a site everywhere: the list kept for the start forgets it at once, the
// yard shuts it away, and an office brings it back.
func TestDeletingEverywhere(t *testing.T) {
	t.Parallel()
	s := StartYard(t, requireServer(t), realBundle)
	ute := s.Device(t, "crew", "Blue ute")
	ute.Put(demoDocument(0, millLane, "Mill Lane 3"))
	p := LaunchBrowser(t).NewPage(t)
	pairByLink(p, s.URL+"/sync#pair="+s.Code(t, "crew"), "Phone")
	p.Type("#yard-find", "mill")
	p.Tap(`[data-do="find"]`)
	p.Wait(`document.querySelector("[data-bring]")`)
	p.Tap("[data-bring]")
	p.Wait(`document.querySelector('.found a[href*="` + millLane + `"]')`)
	goTo(p, "/", ".site")
	kept := func(is string) {
		p.Wait(`(localStorage["pegpour-list"] || "").includes("Mill Lane 3") === ` + is)
	}
	kept("true")
	p.TapName("Put away Mill Lane 3")
	kept("false")
	p.Wait(`document.querySelector(".away")`)
	settled(p)
	p.Eval(`document.querySelector(".away summary").click()`)
	p.Wait(`document.querySelector('[data-do="delete"]')`)
	p.Eval(`document.querySelector('[data-do="delete"]').click()`)
	p.Wait(`document.querySelector('[data-do="delete-everywhere"]')`)
	p.Wait(`(window.scrollTo(0, 1e6), document.querySelector('[data-do="delete-everywhere"]').getBoundingClientRect().bottom < innerHeight)`)
	p.Screenshot("delete")
	p.Tap(`[data-do="delete-everywhere"]`)
	p.Wait(`!document.querySelector(".away")`)
	goTo(p, "/sync", "#yard-tally")
	office := s.Device(t, "office", "Office")
	require.Eventually(t, func() bool { // the page tells the yard by itself
		status, _ := office.Do("GET", "/api/v1/sites/"+millLane, nil)
		return status == 410
	}, 30*time.Second, 300*time.Millisecond)
	require.Equal(t, "", keptDocument(p, millLane))
	goTo(p, "/safe", "#standing")
	p.Screenshot("delete-safe")

	o := officePage(t, s, LaunchBrowser(t))
	o.TapName("Deleted")
	o.Wait(says(".office-device", "Mill Lane 3"))
	require.Contains(t, o.Text(".office-device"), "by Phone")
	o.do(chromedp.EmulateViewport(360, 640))
	o.Screenshot("deleted")
	o.Tap("[data-back]")
	o.Wait(says(".bar", "is back"))
	status, _ := office.Do("GET", "/api/v1/sites/"+millLane, nil)
	require.Equal(t, 200, status)
}
