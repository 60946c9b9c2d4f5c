package e2e

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/advice"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

func taped(v float64) survey.Value { return survey.Measured(v, survey.ByTape) }

// job is what a crew finds at a site; nothing that it does not ask is answered.
func job(opening, room float64) survey.Survey {
	var s survey.Survey
	s.Opening.Width, s.Opening.Hand, s.Opening.SeenFrom = taped(opening), survey.HandRight, survey.SeenFromStreet
	s.Drive.Surface, s.Drive.ConcreteSound = survey.SurfaceConcrete, survey.Yes
	s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgeSquare, Along: taped(0)}
	s.RunBack.Room = taped(room)
	s.Ground.Soil = survey.SoilFirm
	s.Gate.Motor, s.Gate.Guide, s.Gate.HardStop = survey.MotorPlugIn, survey.GuideCastIn, survey.Yes
	return s
}

// Jobs as a stranger does them, by tapping alone, from the list of sites to what
// is to be poured. Taps are those of a whole job, digits too; least of them is what
// was aimed at, most what the walk needs today.
func TestTapsOfTheJobs(t *testing.T) {
	t.Parallel()
	square := job(4250, 5100)
	square.Gate.Guide = survey.GuideOnPost
	gravel := job(4000, 5600)
	gravel.Drive.Surface, gravel.Drive.ConcreteSound = survey.SurfaceGravel, ""
	gravel.Drive.RunBackEdge = survey.Edge{Given: survey.EdgePoints, Points: []survey.EdgePoint{
		{Along: taped(0), Offset: taped(0)}, {Along: taped(60), Offset: taped(700)}, {Along: taped(125), Offset: taped(1400)}}}
	gravel.Ground.Soil, gravel.Ground.DepthToFirm = survey.SoilSoft, taped(300)
	gravel.Gate.Cladding = taped(25)
	slope := job(4000, 5600)
	slope.Ground.Shape = survey.GroundSlopes
	drop := func(along, offset, down float64) survey.StringDrop {
		return survey.StringDrop{Along: taped(along), Offset: taped(offset), Down: survey.Measured(down, survey.ByString)}
	}
	slope.Ground.Levels = survey.Levels{Taken: survey.LevelsByString, Drops: []survey.StringDrop{
		drop(0, 100, 500), drop(2000, 100, 520), drop(4000, 100, 540), drop(0, 1600, 470), drop(4000, 1600, 510)}}
	falls := job(4000, 5600)
	falls.Ground.Shape = survey.GroundFalls
	falls.Ground.Levels = survey.Levels{Taken: survey.LevelsBySlopes, FallStep: taped(300),
		FallAlong: survey.Measured(0.1, survey.ByStaff)}
	for _, c := range []struct {
		name        string
		survey      survey.Survey
		least, most int
	}{
		{"square concrete, rollers on the post", square, 30, 29},
		{"gravel, soft ground, an edge by points", gravel, 55, 57},
		{"cross slope under a string", slope, 60, 62},
		{"ground that falls 300 off the edge, then 10 %", falls, 60, 37},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := StartServer(t, requireServer(t), realBundle)
			b := LaunchBrowser(t)
			p := b.NewPage(t)
			size(p, smallWidth, smallHeight)
			p.BeforeScripts(tapsCounted)
			p.Go(s.URL + "/")
			p.WaitRunning()
			digits := walkSite(p, &c.survey)
			n, err := strconv.Atoi(p.Eval("taps"))
			require.NoError(t, err)
			t.Logf("%d taps, %d of them digits; aimed at %d", n, digits, c.least)
			require.LessOrEqual(t, n, c.most)
			settled(p)
			p.Tap(`a.tab[href$="/pour"]`)
			plan, err := engine.Design(c.survey, practice.DefaultPractice())
			require.NoError(t, err)
			order, ok := plan.Figure("concrete.order")
			require.True(t, ok)
			want := math.Round(order.Value/1e6) / 1e3
			require.Equal(t, strconv.FormatFloat(want, 'f', -1, 64)+" m³",
				strings.TrimPrefix(strings.ReplaceAll(figure(p, "concrete.order"), "\u00a0", " "), "~"))
			require.Empty(t, p.Faults())
		})
	}
}

// Too little room for the leaf: from the list of sites to a way that can be built, with
// what it needs.
func TestTapsToAWayThatCanBeBuilt(t *testing.T) {
	t.Parallel()
	short := job(5200, 2300)
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).NewPage(t)
	size(p, smallWidth, smallHeight)
	p.BeforeScripts(tapsCounted)
	p.Go(s.URL + "/")
	p.WaitRunning()
	p.Tap(`[data-do="new-site"]`)
	digits := walkTo(p, &short, survey.RunBackRoom)
	p.Tap(`.says-row a[href$="/ways"]`)
	p.Wait(`document.querySelector(".way-card")`)
	n, err := strconv.Atoi(p.Eval("taps"))
	require.NoError(t, err)
	t.Logf("%d taps, %d of them digits; aimed at 30", n, digits)
	require.LessOrEqual(t, n, 19)
	// What the walk had not come to yet is as assumed.
	var taken survey.Survey
	taken.Opening, taken.Drive, taken.RunBack = short.Opening, short.Drive, short.RunBack
	report := advice.BuildOptions(taken, practice.DefaultPractice())
	require.Positive(t, report.Feasible+report.Mended)
	first := `.way-card[data-way="` + report.Options[0].Key + `"]`
	require.Equal(t, strconv.Itoa(len(report.Options[0].Needs)), p.Eval(`document.querySelectorAll('`+first+` .remedy').length`))
	require.Contains(t, p.Text("main"), "can be built")
	require.Empty(t, p.Faults())
}

// fileSaved keeps the text of the file that was saved last.
const fileSaved = `
	const make = URL.createObjectURL;
	URL.createObjectURL = (blob) => { blob.text().then((text) => window.saved = text); return make.call(URL, blob); };
`

// savedSurvey is the site as the screen More saves it, without when it was changed.
func savedSurvey(p *Page) map[string]string {
	p.t.Helper()
	settled(p)
	p.Tap(`a.tab[href$="/more"]`)
	p.Wait(`!(window.saved = "")`)
	p.TapName("Save the survey as a file")
	p.Wait(`window.saved`)
	var parts map[string]json.RawMessage
	require.NoError(p.t, json.Unmarshal([]byte(p.Eval("window.saved")), &parts))
	delete(parts, "changed")
	site := map[string]string{}
	for name, part := range parts {
		site[name] = string(part)
	}
	require.Contains(p.t, site, "survey")
	return site
}

// The owner wants the gate to run the other way, and then not; the site is put away and
// brought back: it is to the byte as it was.
func TestTapsOfASecondThought(t *testing.T) {
	t.Parallel()
	square := job(4250, 5100)
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).NewPage(t)
	size(p, smallWidth, smallHeight)
	media(p, "prefers-reduced-motion", "reduce")
	p.BeforeScripts(tapsCounted + fileSaved)
	p.Go(s.URL + "/")
	p.WaitRunning()
	walkSite(p, &square)
	address := p.Eval("location.pathname")
	before := savedSurvey(p)
	p.TapName("All sites")
	p.Wait(`document.querySelector(".sites") && !(window.taps = 0)`)
	p.Tap(`a.site-link[href="` + address + `"]`)
	p.Tap(`a.step-all`)
	p.Tap(`a[href$="field=opening.hand"]`)
	p.Tap(`[data-choice="left"]`)
	p.Wait(`document.querySelector(".question").dataset.asked !== "opening.hand"`)
	settled(p)
	turned := savedSurvey(p)
	require.NotEqual(t, before["survey"], turned["survey"])
	start := p.Eval("taps")
	p.TapName("Undo")
	settled(p)
	require.Equal(t, before, savedSurvey(p), "undone by one tap")
	t.Logf("%s taps to turn it", start)
	p.TapName("All sites")
	p.Tap(`li:has(a.site-link[href="` + address + `"]) .icon`)
	p.Tap(`.bar-fixed button`)
	p.Tap(`a.site-link[href="` + address + `"]`)
	p.WaitRunning()
	require.Equal(t, before, savedSurvey(p), "put away and brought back")
	n, err := strconv.Atoi(p.Eval("taps"))
	require.NoError(t, err)
	t.Logf("%d taps, those that save the file too", n)
	require.LessOrEqual(t, n, 18)
	require.Empty(t, p.Faults())
}
