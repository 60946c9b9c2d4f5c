package e2e

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/storage/demo"
)

// The main job of a leaf that hangs free, question by question: what carries it and
// what its maker gives is asked as part of the walk, the set-out has carriages and a
// block and no strip, the papers are made, and the ways to build compare it.
func TestHangingLeafIsMeasuredSetOutAndPrinted(t *testing.T) {
	t.Parallel()
	var survey = demo.Sites()[0].Survey
	for _, site := range demo.Sites() {
		if site.Survey.Gate.Carried != "" {
			survey = site.Survey
		}
	}
	require.NotEmpty(t, survey.Gate.Carried)
	survey.RunBack.Obstructions = nil
	made, err := engine.Design(survey, practice.DefaultPractice())
	require.NoError(t, err)

	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.NewPage(t)
	p.BeforeScripts(tapsCounted)
	p.BeforeScripts(shareCaught)
	p.Go(s.URL + "/")
	p.WaitRunning()
	digits := walkSite(p, &survey)
	t.Logf("the whole hanging site: %s taps, %d of them digits", p.Eval("taps"), digits)

	p.Tap(`a.tab[href$="/set-out"]`)
	p.Wait(`document.querySelector("#drawing-large svg")`)
	h := made.Leaf.Hanging
	between := strconv.Itoa(int(h.Between + 0.5))
	require.Contains(t, p.Eval(`document.querySelector("#drawing-large svg").textContent`), between)
	require.NotContains(t, p.Text("main"), "strip")
	p.Tap(`a.tab[href$="/pour"]`)
	order, _ := made.Figure(plan.FigureConcreteOrder)
	cubic := strings.TrimRight(strconv.FormatFloat(order.Value/1e9, 'f', 3, 64), "0") + " m³"
	require.Equal(t, cubic, strings.TrimPrefix(figure(p, plan.FigureConcreteOrder), "~"))
	require.Contains(t, p.Text("main"), "Carriages")
	p.Tap(`a.tab[href$="/watch"]`)
	p.Wait(says("main", "Under the leaf"))
	require.Contains(t, p.Text("main"), "child or a dog")

	at := p.Eval("location.pathname")
	site := strings.TrimSuffix(at, "/watch")
	p.Go(s.URL + site + "/ways")
	p.WaitRunning()
	p.Wait(says("main", "hangs free"))
	p.Go(s.URL + site + "/build/poured")
	p.WaitRunning()
	p.Wait(says("main", "Posts, pad and room"))
	require.NotContains(t, p.Text("main"), "Concrete under the track")
	p.Go(s.URL + site + "/pack")
	p.WaitRunning()
	p.Tap(`[data-pack="all"]`)
	papers := 0
	for name, file := range caught(t, p) {
		if strings.HasSuffix(name, ".pdf") {
			papers++
			require.Equal(t, "%PDF", file.Start, name)
		}
		if strings.HasSuffix(name, "quantities.csv") {
			require.Contains(t, file.Text, "Carriages")
			require.NotContains(t, file.Text, "Track")
		}
	}
	require.Equal(t, 5, papers)
	require.Empty(t, p.Faults())
}
