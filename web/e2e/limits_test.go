package e2e

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// A phone that comes near to a limit of the yard says so in one quiet line, and in its own
// language; nothing else of it changes.
func TestNearALimitIsSaidQuietly(t *testing.T) {
	t.Parallel()
	s := StartYard(t, requireServer(t), realBundle)
	office := s.Device(t, "office", "Office")
	var limits struct{ DeviceSites int }
	office.want(200, "PUT", "/api/v1/limits", []byte(`{"deviceSites":1}`), &limits)
	require.Equal(t, 1, limits.DeviceSites)
	p := LaunchBrowser(t).NewPage(t)
	p.do(chromedp.EmulateViewport(360, 640))
	_, link := s.PairingLink(t, "crew", s.URL)
	pairByLink(p, link, "Anna's phone")
	goTo(p, "/", `[data-do="new-site"]`)
	p.Wait(`document.querySelector("#tally")`)
	p.Tap(`[data-do="new-site"]`)
	p.Wait(`document.querySelector("#entry")`)
	p.Type("#entry", "Harbour Lane 12")
	settled(p)
	nothingWaits(p)
	tryUntil(p, `[...document.querySelectorAll(".yard-state .quiet")].some((line) => line.innerText ===
		"This device has used 100 % of what the yard keeps of one device. The office can allow more.")`)
	require.Equal(t, "false", p.Eval(`document.documentElement.scrollWidth > innerWidth`))
	p.Screenshot("near-a-limit")
	require.Empty(t, p.Faults())
}
