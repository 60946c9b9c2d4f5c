package e2e

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine"
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
	for _, c := range []struct {
		name        string
		survey      survey.Survey
		least, most int
	}{
		{"square concrete, rollers on the post", square, 40, 60},
		{"gravel, soft ground, an edge by points", gravel, 55, 90},
		{"cross slope under a string", slope, 60, 110},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := StartServer(t, requireServer(t), realBundle)
			b := LaunchBrowser(t)
			p := b.NewPage(t)
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
