package e2e

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stepsCounted counts the steps that a bar was moved on by in each task of the page.
const stepsCounted = `
	window.stepsOfTasks = [];
	new MutationObserver((all) => {
		const steps = all.filter((m) => m.attributeName === "value" && m.target.id === "sure-progress").length;
		if (steps) stepsOfTasks.push(steps);
	}).observe(document, {subtree: true, attributes: true});
`

// What is worked out in steps lets the browser have its turn between the designs of two
// leaves, garbage or not, and nothing that is on the page moves when it is done.
func TestStepsLeaveTheBrowserItsTurn(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	browser := LaunchBrowser(t)
	for _, screen := range []struct{ address, until string }{
		{pairSite + "/watch", `document.querySelector("[data-sure]")`},
		{pairSite + "/measure?field=done", `document.querySelector(".answer h3")`},
	} {
		p := browser.NewPage(t)
		p.BeforeScripts(stepsCounted + screensTimed)
		p.throttle(slowed)
		p.Go(s.URL + screen.address)
		p.Wait(`document.querySelector("#sure-progress")`)
		p.Eval(`timed.begin()`)
		p.Wait(screen.until)
		var steps []int
		require.NoError(t, json.Unmarshal([]byte(p.Eval(`JSON.stringify(stepsOfTasks)`)), &steps))
		sum, most := 0, 0
		for _, n := range steps {
			sum, most = sum+n, max(most, n)
		}
		assert.Greater(t, sum, 40, screen.address)
		assert.LessOrEqual(t, most, 4, "%s: %v", screen.address, steps)
		var told timed
		require.NoError(t, json.Unmarshal([]byte(p.Eval(`timed.end()`)), &told))
		assert.Less(t, told.Shift, 0.1, "%s: %v", screen.address, told.Moved)
		p.Close()
	}
}
