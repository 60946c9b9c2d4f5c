package e2e

import (
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// A thumb that types fast does not look again: an error told midway, and taken back,
// leaves every key where it was.
func TestAnErrorMovesNoKey(t *testing.T) {
	t.Parallel()
	for _, german := range []bool{false, true} {
		s := StartServer(t, requireServer(t), realBundle)
		p := LaunchBrowser(t).NewPage(t)
		if german {
			p.BeforeScripts(`Object.defineProperty(navigator, "languages", { get: () => ["de-AT"] });`)
		}
		size(p, smallWidth, smallHeight)
		p.Go(s.URL + at("{square}/measure?field=runBack.room"))
		p.Wait(`document.querySelector("#drawing-small svg") && document.querySelector("#entry")`)
		settled(p)
		p.Tap(`[data-key="erase"]`)
		p.Eval(`document.querySelector("#entry").select()`)
		p.Tap(`[data-key="erase"]`)
		require.Empty(t, p.Value("#entry"))
		const keys = `[...document.querySelectorAll("[data-key]")].map((e) => {
			const r = e.getBoundingClientRect();
			return [e.dataset.key, r.x + r.width / 2, r.y + r.height / 2].join(" ");
		}).join("\n")`
		before := p.Eval(keys)
		spots := map[string][2]float64{}
		for _, line := range strings.Split(before, "\n") {
			f := strings.Fields(line)
			require.Len(t, f, 3, line)
			x, err := strconv.ParseFloat(f[1], 64)
			require.NoError(t, err)
			y, err := strconv.ParseFloat(f[2], 64)
			require.NoError(t, err)
			spots[f[0]] = [2]float64{x, y}
		}
		told := 0
		for i, key := range []string{"2", "3", "0", "0"} {
			p.do(chromedp.TapXY(spots[key][0], spots[key][1]))
			p.Wait(`document.querySelector("#entry").value === ` + quote("2300"[:i+1]))
			p.Eval(`new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 100))))`)
			if p.Eval(`[...document.querySelectorAll(".question .error, .question [role=alert]")].some((e) => e.innerText.trim())`) == "true" {
				told++
			}
			require.Equal(t, before, p.Eval(keys), "after %s, German: %v", "2300"[:i+1], german)
		}
		require.Positive(t, told, "an error midway, or this shows nothing")
		require.Equal(t, "2300", p.Value("#entry"))
		require.Empty(t, p.Faults())
	}
}
