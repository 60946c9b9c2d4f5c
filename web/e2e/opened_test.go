package e2e

import (
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// launched stands in for what an installed app is handed by the system: a file with
// which it is opened.
const launched = `if (location.protocol !== "about:" && sessionStorage.launched) Object.defineProperty(window, "launchQueue", {value: {
		setConsumer: (take) => take({files: [{getFile: async () => new File([sessionStorage.launched], "site.json")}]})}});`

// A site's file opens by way of the system, and by another app that shares it, without
// any signal, and is not opened once more at the next start.
func TestAFileOpensByTheSystem(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	out, err := exec.Command(s.binary, "demo", "-site", "2").Output()
	require.NoError(t, err)
	survey := func(name, id string) string {
		return quote(strings.NewReplacer("Demo: angled drive", name, "00000000-0000-4000-8000-000000000002",
			"00000000-0000-4000-8000-0000000000"+id).Replace(string(out)))
	}
	b := LaunchBrowser(t).Keeping()
	p := b.NewPage(t)
	p.BeforeScripts(launched)
	p.Go(s.URL + "/")
	p.WaitKept()
	s.Kill()

	p.Eval(`sessionStorage.launched = ` + survey("By the system", "f1"))
	p.Go(s.URL + "/")
	p.Wait(`location.pathname.endsWith("/set-out") && document.querySelector("#drawing-large svg")`)
	p.Wait(says(".title", "By the system"))
	settled(p)
	p.Eval(`sessionStorage.removeItem("launched")`)

	share := func(text string) {
		p.Go("about:blank") // another app
		p.Eval(`(() => {
			const form = document.createElement("form"), input = document.createElement("input"), files = new DataTransfer();
			form.method = "post"; form.enctype = "multipart/form-data"; form.action = "` + s.URL + `/opened";
			input.type = "file"; input.name = "file";
			files.items.add(new File([` + text + `], "site.json", {type: "application/json"}));
			input.files = files.files;
			form.append(input);
			document.body.append(form);
			form.submit();
		})()`)
	}
	share(survey("Shared from an app", "f2"))
	p.Wait(`location.pathname.endsWith("/set-out") && document.querySelector("#drawing-large svg") && ` + says(".title", "Shared from an app"))
	settled(p)
	p.Go(s.URL + "/?shared")
	p.WaitRunning()
	p.Wait(`document.querySelector("[data-list=here]")`)
	require.Equal(t, "false", p.Eval(`caches.has("/opened").then(async (has) => String(has && !!(await (await caches.open("/opened")).match("/opened"))))`))
	require.Equal(t, "/", p.Eval("location.pathname"))

	share(`"no survey"`)
	p.Wait(says("body", "This is no survey"))
	require.Empty(t, p.Faults())
}
