package e2e

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The demo site with an angled drive, as every new device has it.
const angledSite = "/site/00000000-0000-4000-8000-000000000002"

// filesCaught keeps what the page makes addresses for: pictures that it shows,
// files that it saves.
const filesCaught = `
	window.blobs = [];
	const made = URL.createObjectURL;
	URL.createObjectURL = (blob) => { blobs.push(blob); return made.call(URL, blob); };
`

// lastFile is what filesCaught kept last.
func lastFile(p *Page) []byte {
	p.t.Helper()
	data, err := base64.StdEncoding.DecodeString(p.Eval(`new Promise((good) => {
		const reader = new FileReader();
		reader.onload = () => good(reader.result.split(",")[1]);
		reader.readAsDataURL(blobs.at(-1));
	})`))
	require.NoError(p.t, err)
	return data
}

// shareCaught puts a share sheet of the tests' own in the place of the phone's.
const shareCaught = `
	window.caught = [];
	Object.defineProperty(Navigator.prototype, "canShare", {value: () => true, configurable: true});
	Object.defineProperty(Navigator.prototype, "share", {configurable: true, value: async (what) => {
		for (const file of what.files) {
			const bytes = new Uint8Array(await file.arrayBuffer());
			const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
			window.caught.push({name: file.name, type: file.type, size: bytes.length,
				start: String.fromCharCode(...bytes.slice(0, 4)),
				digest: Array.from(digest, (b) => b.toString(16).padStart(2, "0")).join(""),
				text: /json|csv|svg/.test(file.type) ? new TextDecoder().decode(bytes) : ""});
		}
		window.complete = true;
	}});`

type caughtFile struct {
	Name, Type, Start, Digest, Text string
	Size                            int
}

// caught waits until the share sheet has been given files and returns them.
func caught(t *testing.T, p *Page) map[string]caughtFile {
	t.Helper()
	p.Wait("window.complete")
	var list []caughtFile
	require.NoError(t, json.Unmarshal([]byte(p.Eval("JSON.stringify(caught)")), &list))
	p.Eval("(window.caught = [], window.complete = false)")
	all := map[string]caughtFile{}
	for _, f := range list {
		all[f.Name] = f
	}
	return all
}

// tapAfar brings what may be off the screen to its middle, at once, and taps it.
func tapAfar(p *Page, selector string) {
	p.t.Helper()
	find := "document.querySelector(" + quote(selector) + ")"
	p.Wait(find)
	p.Eval(find + `.scrollIntoView({block: "center", behavior: "instant"})`)
	p.Tap(selector)
}

// A phone that was off and has no signal makes every document, and the command
// line makes the same bytes of the survey that goes with them.
func TestDocumentsWithoutSignal(t *testing.T) {
	t.Parallel()
	binary := requireServer(t)
	s := StartServer(t, binary, realBundle)
	b := LaunchBrowser(t).Keeping()
	b.Open(t, s.URL+"/").WaitKept()
	s.Kill()
	b.Kill()
	b.Relaunch(t)

	p := b.NewPage(t)
	p.BeforeScripts(shareCaught)
	p.Go(s.URL + angledSite + "/pack")
	p.WaitRunning()
	p.Tap(`[data-pack="all"]`)
	files := caught(t, p)
	survey, ok := files["demo-angled-drive-survey.json"]
	require.True(t, ok, "the survey is among them")
	file := filepath.Join(t.TempDir(), "survey.json")
	require.NoError(t, os.WriteFile(file, []byte(survey.Text), 0o600))
	for _, reader := range []string{"owner", "labourer", "steel", "supplier", "engineer"} {
		pdf, ok := files["demo-angled-drive-"+reader+".pdf"]
		require.True(t, ok, reader)
		assert.Equal(t, "%PDF", pdf.Start)
		command := exec.Command(binary, "sheets", "-in", file, "-for", reader)
		var out, fault bytes.Buffer
		command.Stdout, command.Stderr = &out, &fault
		require.NoError(t, command.Run(), fault.String())
		sum := sha256.Sum256(out.Bytes())
		assert.Equal(t, hex.EncodeToString(sum[:]), pdf.Digest,
			"%s: the phone's %d bytes are not the command line's %d", reader, pdf.Size, out.Len())
	}
	exchange := filepath.Join(t.TempDir(), "set-out.dxf")
	require.NoError(t, exec.Command(binary, "drawing", "-in", file, "-out", exchange).Run())
	drawn, err := os.ReadFile(exchange)
	require.NoError(t, err)
	sum := sha256.Sum256(drawn)
	assert.Equal(t, hex.EncodeToString(sum[:]), files["demo-angled-drive-set-out.dxf"].Digest)
	assert.Contains(t, files["demo-angled-drive-set-out.svg"].Text, "<svg")
	assert.Contains(t, files["demo-angled-drive-pegs.csv"].Text, "run-back post")
	assert.Contains(t, files["demo-angled-drive-quantities.csv"].Text, "Concrete to order")
	assert.Contains(t, files["demo-angled-drive-steel.csv"].Text, "Guide rail")
	p.Wait(`document.querySelectorAll("[data-file]").length === ` + strconv.Itoa(len(files)))

	// The owner's view as a picture, and as one page.
	p.Go(s.URL + angledSite + "/owner")
	p.WaitRunning()
	p.Wait(`document.querySelector("#owner-view canvas")`)
	tapAfar(p, `[data-do="picture"]`)
	picture := caught(t, p)["demo-angled-drive-view.png"]
	assert.Equal(t, "image/png", picture.Type)
	assert.Greater(t, picture.Size, 20000, "a picture with something on it")
	tapAfar(p, `[data-do="page"]`)
	assert.Equal(t, files["demo-angled-drive-owner.pdf"].Digest, caught(t, p)["demo-angled-drive-owner.pdf"].Digest)
	assert.Empty(t, p.Faults())
}

// Ticks of the pour day stay with the site.
func TestPourDayKeepsItsTicks(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+angledSite+"/pour-day")
	tapAfar(p, `[data-tick="pour.services"]`)
	tapAfar(p, `[data-stage="after"] summary`) // only what applies is open
	tapAfar(p, `[data-tick="pour.hardStop"]`)
	p.Wait(`document.querySelector(".stage-count").innerText.startsWith("1 /")`)
	p.Wait(`document.querySelector(".cautions li")`)
	settled(p) // a page can be left sooner than a disk writes
	p.Go(s.URL + angledSite + "/pack")
	p.WaitRunning()
	p.Go(s.URL + angledSite + "/pour-day")
	p.WaitRunning()
	p.Wait(`["pour.services", "pour.hardStop"].every((tick) =>
		document.querySelector('[data-tick="' + tick + '"]').checked)`)
	p.Wait(`!document.querySelector('[data-tick="pour.clean"]').checked`)
	if os.Getenv("PEGPOUR_SHOTS") != "" {
		p.Screenshot("pour-day")
	}
	assert.Empty(t, p.Faults())
}
