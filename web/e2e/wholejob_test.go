package e2e

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/pegs"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/storage/demo"
)

// A demo site is built from its survey to the hand-over on a small phone with no signal.
// The browser is killed after each stage, and the job goes on where it was: the page of
// the job says how far it is and leads to what is next.
func TestWholeJobWithNoSignal(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t).Keeping()
	p := b.Open(t, s.URL+"/")
	p.Wait(`document.querySelectorAll(".thumb svg").length >= 4`) // the demo sites are stored
	p.WaitKept()
	settled(p)
	s.Kill()

	taps := 0
	site := at("{square}")
	stage := func(far, next string, work func(p *Page)) {
		t.Helper()
		b.Kill()
		b.Relaunch(t)
		p := b.NewPage(t)
		size(p, smallWidth, smallHeight)
		p.BeforeScripts(`addEventListener("click", (e) => e.isTrusted && (sessionStorage.taps = 1 + Number(sessionStorage.taps || 0)), true)`)
		p.Go(s.URL + "/")
		p.WaitRunning()
		p.Tap(`.site-link[href^="` + site + `/"]`)
		p.Tap(`a.tab[href$="/more"]`)
		p.Wait(says(".how-far", far))
		p.Screenshot("whole job " + far)
		if work != nil {
			require.Equal(t, site+"/"+next, p.Eval(`new URL(document.querySelector(".next-step a").href).pathname`), far)
			work(p)
			settled(p)
			n, err := strconv.Atoi(p.Eval(`sessionStorage.taps || "0"`))
			require.NoError(t, err)
			taps += n
			t.Logf("%s: %d taps", far, n)
		}
		assert.Empty(t, p.Faults())
	}
	next := func(p *Page) { p.Tap(".next-step a") }

	measured := demo.Sites()[0].Survey.Clone()
	measured.Opening.Width = survey.Measured(4020, survey.ByTape)
	rules := practice.DefaultPractice()
	made, err := engine.Design(measured, rules)
	require.NoError(t, err)
	stage("measured", "build/pegs", func(p *Page) {
		p.Show(site + "/measure?field=" + survey.OpeningWidth)
		p.Wait(entryThere)
		p.Eval(fill("#entry", "4020"))
		settled(p)
	})
	stage("measured", "build/pegs", func(p *Page) {
		next(p)
		p.Tap(`[data-do="next-tape"]`)
		for range 4 {
			p.Wait(`document.querySelector("#asked")`)
			asked := p.Text("#asked")
			ends, _, _ := strings.Cut(asked, ":")
			from, to, found := strings.Cut(ends, " – ")
			require.True(t, found, asked)
			enter(p, tapeBetween(t, pegs.Marks(&made, &rules), made.Opening, strings.TrimSpace(from), strings.TrimSpace(to)))
			p.Wait(`!document.querySelector("#asked") || document.querySelector("#asked").innerText !== ` + quote(asked))
		}
	})

	stage("pegs stand", "build/forms", func(p *Page) {
		next(p)
		p.Wait(says("#missing", "No concrete yet"))
		tapAfar(p, `[data-do="add-top"]`)
		for _, reading := range []string{"1500", "7000", "1500"} { // fixed point, place, top
			enter(p, reading)
		}
		p.Wait(says(`[data-top="0"]`, "Stands right"))
	})

	stage("dug and formed", "build/pour", func(p *Page) {
		next(p)
		p.Wait(says("#cure", "when the pour ended"))
		setSelect(p, `[data-moment="build.casting.pour.began"]`, "2026-04-01T10:00")
		setSelect(p, `[data-moment="build.casting.pour.ended"]`, "2026-04-01T12:00")
		p.Wait(says("#cure", "note the temperature"))
		cell(p, "build.casting.pour.warmth", "20")
		p.Wait(says("#ready-hang", "2026-04-03"))
	})

	stage("poured", "build/poured", func(p *Page) {
		next(p)
		p.Wait(says("#poured-says", "Nothing measured yet"))
		tapAfar(p, `[data-do="add-level"]`)
		for i, reading := range []string{"1500", "200", "1500", "4000", "1497", "7800", "1502"} { // sight, then place and level
			if i > 1 && i%2 == 1 {
				tapAfar(p, `[data-do="add-level"]`)
			}
			enter(p, reading)
		}
		p.Wait(says("#track-says", "packed"))
		cell(p, "build.poured.opening", "4026")
		p.Wait(`document.querySelector("[data-change]")`)
	})

	stage("measured as poured", "build/hand-over", func(p *Page) {
		next(p)
		p.Wait(`document.querySelector(".test")`)
		testAndSign(p)
	})

	stage("handed over", "", nil)
	t.Logf("from survey to hand-over: %d taps", taps)
}

// tapeBetween is what a tape reads between two ends that stand as planned.
func tapeBetween(t *testing.T, marks []pegs.Mark, opening float64, from, to string) string {
	t.Helper()
	where := func(end string) (x, y float64) {
		switch end {
		case "latch post":
			return 0, 0
		case "run-back post":
			return opening, 0
		}
		for _, m := range marks {
			if m.Name == end {
				return m.At.X, m.At.Y
			}
		}
		require.Fail(t, "no such end", end)
		return 0, 0
	}
	x, y := where(from)
	if to == "string, square" {
		return strconv.Itoa(int(math.Round(y)))
	}
	x2, y2 := where(to)
	return strconv.Itoa(int(math.Round(math.Hypot(x-x2, y-y2))))
}
