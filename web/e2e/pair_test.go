package e2e

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pairSite is the demo site whose opening two leaves shut.
const pairSite = "/site/00000000-0000-4000-8000-000000000009"

// Two leaves that meet: the plan, its pegs and its details of either side, watch-outs with
// the side in words, one order of concrete, the gate as the owner sees it, and a meeting
// place that is moved and that is refused outside the opening.
func TestPair(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+"/")
	p.WaitRunning()
	p.Wait(`document.querySelector(".site")`)

	p.Go(s.URL + pairSite + "/set-out")
	p.Wait(`document.querySelector(".drawing svg")`)
	for _, view := range []string{"Pad and post, run-back side", "Pad and post, latch side", "Leaf, run-back side", "Leaf, latch side"} {
		p.TapName(view)
		p.Wait(`[...document.querySelectorAll(".views .here")].some(b => b.textContent === ` + quote(view) + `)`)
	}
	p.TapName("Whole")
	p.Wait(`document.querySelector(".views .here").textContent === "Whole"`)
	sizes := p.Text(".figures")
	assert.Contains(t, sizes, "Leaf frame length, run-back side")
	assert.Contains(t, sizes, "Leaf frame length, latch side")

	p.Go(s.URL + pairSite + "/watch")
	p.Wait(`document.querySelector("[data-sure]")`)
	watch := p.Text("main")
	assert.Contains(t, watch, "On the latch side:")
	assert.Contains(t, watch, "On the run-back side:")

	p.Go(s.URL + pairSite + "/pour")
	p.Wait(says("main", "Footing of the stop in the drive"))
	pour := p.Text("main")
	assert.Contains(t, pour, "Motor pad, latch side")
	assert.Contains(t, pour, "Motor pad, run-back side")

	p.Go(s.URL + pairSite + "/owner")
	p.Wait(says("main", "Two leaves meet in the drive"))

	p.Go(s.URL + pairSite + "/measure?field=pair.meets")
	p.Wait(says("#asked", "Where the leaves meet"))
	p.Wait(`document.activeElement === document.querySelector("#entry")`)
	p.Eval(`document.querySelector("#entry").select()`)
	p.do(typeKeys("3600\r"))
	settled(p)
	p.Go(s.URL + pairSite + "/set-out")
	p.Wait(says("main", "3,600 mm") + ` || ` + says("main", "3600 mm"))

	p.Go(s.URL + pairSite + "/measure?field=pair.meets")
	p.Wait(says("#asked", "Where the leaves meet"))
	p.Wait(`document.activeElement === document.querySelector("#entry")`)
	p.Eval(`document.querySelector("#entry").select()`)
	p.do(typeKeys("9000"))
	p.Wait(says("main", "inside the opening"))
	require.Empty(t, p.Faults())
}
