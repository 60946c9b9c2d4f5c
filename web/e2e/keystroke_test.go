package e2e

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A key's drawing is on the page before the screen around it is drawn anew,
// which follows once no key is pressed.
func TestKeyShowsItsDrawingFirst(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+"/site/00000000-0000-4000-8000-000000000002/measure?field=opening.width")
	p.Wait(`document.querySelector("#drawing-small svg") && document.querySelector("#entry")`)
	settled(p)
	p.throttle(8) // a turn is then longer than the framework's frame
	for _, typed := range []string{"4360", "4370", "4380", "4390", "4400", "4410"} {
		require.Equal(t, "drawing", p.Eval(`(() => {
			const parts = () => [document.querySelector("#drawing-small").innerHTML, document.querySelector("#entry-says").textContent];
			const [drawing, says] = parts(), e = document.querySelector("#entry");
			e.value = "`+typed+`";
			e.dispatchEvent(new InputEvent("input", {bubbles: true}));
			const [drawn, said] = parts();
			return [drawn !== drawing && "drawing", said !== says && "words"].filter(Boolean).join(" and ");
		})()`), "what is new when the key's turn ends")
		p.Wait(`document.querySelector("#entry-says").innerText.startsWith("Read as ` + typed + `")`)
	}
	p.throttle(1)
	settled(p)
	require.Empty(t, p.Faults())
}
