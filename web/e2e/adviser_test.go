package e2e

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// steepBank is the demo site whose ground climbs away from the drive.
const steepBank = "/site/00000000-0000-4000-8000-000000000041"

// The adviser: ways side by side, one chosen and taken back by undo; a remedy
// tried and done; the readings to take again; the sources behind a figure.
func TestAdviser(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+"/")
	p.WaitRunning()
	p.Wait(`document.querySelector(".site")`)

	p.Go(s.URL + steepBank + "/ways")
	p.Wait(`document.querySelectorAll(".way-card").length > 2`)
	p.Wait(`document.querySelector(".way-card .thumb svg")`)
	now := p.Eval(`document.querySelector(".way-here").dataset.way`)
	tapAfar(p, `[data-do="build-way"]`)
	p.Wait(`document.querySelector(".way-here") && document.querySelector(".way-here").dataset.way !== ` + quote(now))
	p.TapName("Undo")
	p.Wait(`document.querySelector(".way-here") && document.querySelector(".way-here").dataset.way === ` + quote(now))

	p.Go(s.URL + steepBank + "/watch")
	p.Wait(`document.querySelector("[data-again]")`)
	p.Wait(`document.querySelector("[data-sure]")`)

	// A leaf of lying battens without a catch at its rear asks for a deep hole.
	const battens = "/site/00000000-0000-4000-8000-000000000002"
	p.Go(s.URL + battens + "/watch")
	p.Wait(`document.querySelector("[data-sure]")`)
	before := p.Eval(`String(document.querySelectorAll("[data-remedy]").length)`)
	tapAfar(p, `[data-remedy="strength.embedment"]`)
	p.Wait(`document.querySelector('[data-do="apply-remedy"]')`)
	assert.True(t, strings.Contains(p.Text(".trial"), "settled"))
	tapAfar(p, `[data-do="apply-remedy"]`)
	p.Wait(`document.querySelector("[data-sure]") && !document.querySelector('[data-remedy="strength.embedment"]')`)
	p.TapName("Undo")
	p.Wait(`String(document.querySelectorAll("[data-remedy]").length) === ` + quote(before))

	p.Go(s.URL + battens + "/sources?figure=strength.embedment")
	p.Wait(`document.querySelectorAll(".source-case").length > 5`)
	assert.True(t, strings.Contains(p.Text(".told"), "licensed engineer"))
}
