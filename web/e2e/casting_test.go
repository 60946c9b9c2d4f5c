package e2e

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// cell takes a field of a screen of building in hand and types into it.
func cell(p *Page, path, value string) {
	p.t.Helper()
	tapAfar(p, `[data-cell="`+path+`"]`)
	enter(p, value)
}

// A site is looked at before the concrete, poured, waited for, and measured as it was
// poured: what is missing is said, what must be buried is photographed from its line,
// a pour in the frost is not judged, and the leaf is cut to what stands there.
func TestFormsPourAndAsPoured(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+angledSite+"/build/forms")
	p.WaitRunning()

	// Forms: from the fixed point to the first top that is off.
	p.Wait(says("#missing", "No concrete yet"))
	tapAfar(p, `[data-do="add-top"]`)
	enter(p, "1500")
	enter(p, "7000")
	enter(p, "1506")
	p.Wait(says(`[data-top="0"]`, "Raise 6"))
	p.Screenshot("forms-first")
	cell(p, "build.casting.setUp.close", "1520")
	p.Wait(says(`[data-top="0"]`, "does not close by 20"))
	p.Wait(`document.querySelector("main").innerText.includes("Set up again")`)
	cell(p, "build.casting.setUp.close", "1501")
	p.Wait(says(`[data-top="0"]`, "Raise 6"))
	cell(p, "build.casting.tops.0.down", "1501")
	p.Wait(says(`[data-top="0"]`, "Stands right"))

	// Depth: shallow in one place, and the order again.
	tapAfar(p, `[data-do="add-depth"]`)
	enter(p, "7000")
	enter(p, "90")
	p.Wait(says(`[data-dug="strip"]`, "deeper at 7000"))
	p.Wait(says("#order-again", "less than planned"))
	cell(p, "build.casting.depths.0.depth", "400")
	p.Wait(says(`[data-dug="strip"]`, "Deep enough"))
	p.Wait(says("#order-again", "more than planned"))
	p.Eval(`document.querySelector("#order-again").scrollIntoView({block: "center"})`)
	p.Screenshot("forms-dug")

	// What is to be buried: its photo from its own line.
	photo := `[data-photo-of="pour.hole"]`
	p.chooseFile(photo, photoFile(t))
	p.Wait(`document.querySelector('` + photo + `').parentElement.innerText.includes("Photo taken")`)
	tapAfar(p, `[data-tick="pour.hole"]`)
	settled(p)
	p.Eval(`document.querySelector('` + photo + `').scrollIntoView({block: "center"})`)
	p.Screenshot("forms-buried")
	p.Go(s.URL + angledSite + "/pour-day")
	p.WaitRunning()
	p.Wait(says("#missing", "No concrete yet"))
	p.Wait(`document.querySelector('[data-stage="before"]').open && !document.querySelector('[data-stage="after"]').open`)
	p.Wait(`document.querySelector('[data-tick="pour.hole"]').checked`)
	p.Screenshot("pour-day-missing")

	// The pour: nothing is judged before it is noted, nor in the frost.
	open(p, s.URL+angledSite+"/build/pour", "#cure")
	p.Wait(says("#cure", "when the pour ended"))
	moment := func(path, value string) { setSelect(p, `[data-moment="`+path+`"]`, value) }
	moment("build.casting.pour.began", "2026-04-01T11:00")
	moment("build.casting.pour.ended", "2026-04-01T10:00")
	p.Wait(says("#cure", "ends before it starts"))
	moment("build.casting.pour.ended", "2026-04-01T12:00")
	p.Wait(says("#cure", "note the temperature"))
	cell(p, "build.casting.pour.warmth", "-30")
	p.Wait(says("#ready-hang", "below 0 °C nothing is"))
	p.Screenshot("pour-frost")
	cell(p, "build.casting.pour.warmth", "20")
	p.Wait(says("#ready-anchors", "Wednesday, 2026-04-29"))
	p.Wait(says("#ready-hang", "Friday, 2026-04-03"))
	p.Screenshot("pour-judged")

	// The calendar's file, through the browser's saving.
	p.Eval(`(() => {
		window.saved = "";
		const kept = URL.createObjectURL;
		URL.createObjectURL = (blob) => { blob.text().then((text) => (window.saved = text)); return kept.call(URL, blob); };
	})()`)
	tapAfar(p, `[data-do="calendar"]`)
	p.Wait(`window.saved.includes("END:VCALENDAR")`)
	file := p.Eval("window.saved")
	assert.Equal(t, 2, strings.Count(file, "BEGIN:VEVENT\r\n"))
	for _, line := range strings.Split(file, "\r\n") {
		assert.LessOrEqual(t, len(line), 75)
	}

	// A reminder that is due is shown on another screen too, with no signal.
	tapAfar(p, `[data-do="remind-hang"]`)
	p.Wait(`document.querySelector('[data-do="forget-hang"]')`)
	settled(p)
	p.Wait(`JSON.parse(localStorage.getItem("pegpour-reminders")).length === 1`)
	p.Wait(`document.querySelector(".reminder") || Date.now() < Date.parse("2026-04-03T00:00")`)
	p.Eval(`pegpourShell.remind("due", Date.now() - 1000, "The strip is hard", "Seen", "/")`)
	p.Wait(`document.querySelector(".reminder")`)
	p.Go(s.URL + angledSite + "/build/poured")
	p.WaitRunning()
	p.Wait(`document.querySelector(".reminder")`)
	p.Screenshot("pour-reminder")
	for range 2 {
		p.Eval(`document.querySelector(".reminder button") && document.querySelector(".reminder button").click()`)
	}
	p.Wait(`!document.querySelector(".reminder")`)

	// As poured: levels, the track on them, the leaf cut to it.
	p.Wait(says("#poured-says", "Nothing measured yet"))
	tapAfar(p, `[data-do="add-level"]`)
	enter(p, "1500")
	for i, level := range [][2]string{{"200", "1500"}, {"3000", "1495"}, {"8000", "1502"}} {
		if i > 0 {
			tapAfar(p, `[data-do="add-level"]`)
		}
		enter(p, level[0])
		enter(p, level[1])
	}
	p.Wait(says("#track-says", "packed and 0"))
	p.Wait(`document.querySelectorAll("[data-packer]").length > 5`)
	cell(p, "build.poured.opening", "4362")
	p.Wait(says("#poured-says", "travel"))
	p.Wait(`document.querySelector("[data-change]")`)
	p.Screenshot("poured")
	p.Eval(`document.querySelector("#track-says").scrollIntoView({block: "start"})`)
	p.Screenshot("poured-track")
	p.Eval(`document.querySelector("#changes").scrollIntoView({block: "start"})`)
	p.Screenshot("poured-changes")
	settled(p)
	p.Go(s.URL + angledSite + "/build/poured")
	p.WaitRunning()
	p.Wait(`document.querySelector("[data-change]")`)
	p.Wait(`document.documentElement.scrollWidth <= innerWidth`)
	assert.Empty(t, p.Faults())
}
