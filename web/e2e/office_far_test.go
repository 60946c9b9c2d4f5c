package e2e

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"pegpour/engine/progress"
)

// The office sees how far each site is by what was recorded, and finds by it.
func TestOfficeFindsByStep(t *testing.T) {
	t.Parallel()
	s := StartYard(t, requireServer(t), realBundle)
	ute := s.Device(t, "crew", "Blue ute")
	first := demoDocument(0, millLane, "Mill Lane 3")
	ute.Put(first)
	second := demoDocument(1, weir, "Weir Street 12")
	second.Ticks = map[string]bool{"peg.1": true, "pour.rodded": true}
	ute.Put(second)
	p := officePage(t, s, LaunchBrowser(t))
	lines := func(n string) { p.Wait(`document.querySelectorAll(".office-line").length === ` + n) }
	lines("2")
	p.Wait(`document.querySelectorAll(".office-line .thumb svg").length === 2`)
	of := func(id string) string { return p.Text(`[data-site="` + id + `"] .office-far`) }
	require.Equal(t, "Recorded: measured", of(millLane))
	require.Equal(t, "Recorded: poured", of(weir))
	for _, size := range []struct {
		name          string
		width, height int64
	}{{"desk", 1280, 900}, {"phone", 390, 844}, {"small", smallWidth, smallHeight}} {
		p.do(chromedp.EmulateViewport(size.width, size.height))
		redrawn(p)
		p.Wait(`document.documentElement.scrollWidth <= innerWidth`)
		p.Screenshot("office-steps-" + size.name)
	}
	deskSize(p)
	forTheDesk(t, p, "steps")
	setSelect(p, "#office-far", progress.Poured.Name())
	lines("1")
	require.Equal(t, "Recorded: poured", of(weir))
	setSelect(p, "#office-state", "poured")
	lines("0")
	require.Contains(t, p.Text(".empty"), "No site is like that")
	setSelect(p, "#office-state", "")
	lines("1")

	// What is recorded meanwhile brings the site on; the list is looked at anew.
	setSelect(p, "#office-far", progress.Pegged.Name())
	lines("0")
	first.Ticks = map[string]bool{"peg.1": true}
	ute.Put(first)
	setSelect(p, "#office-far", "")
	lines("2")
	require.Equal(t, "Recorded: pegs stand", of(millLane))
	p.Tap(`[data-site="` + millLane + `"] .office-site`)
	p.Wait(says(".office-head", "Recorded: pegs stand"))
	p.Screenshot("office-step-of-a-site")
}
