package e2e

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// TestShots takes the pictures of the README: make shots. It is no check.
func TestShots(t *testing.T) {
	t.Parallel()
	if os.Getenv("PEGPOUR_SHOTS") == "" {
		t.Skip("make shots takes the pictures")
	}
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.Open(t, s.URL+"/")
	p.Wait(`document.querySelectorAll(".thumb svg").length >= 4`)
	picture(p, "sites")
	const angled = "/site/00000000-0000-4000-8000-000000000002"
	open := func(address, until string) {
		p.Go(s.URL + address)
		p.WaitRunning()
		p.Wait(until)
	}
	open(angled+"/measure?field=opening.width", `document.querySelector("#drawing-small svg")`)
	picture(p, "measure")
	open(angled+"/set-out", `document.querySelector("#drawing-large svg")`)
	p.TapName("Pad and post")
	p.Wait(`[...document.querySelectorAll(".views button")].some((b) => b.innerText === "Pad and post" && b.ariaPressed === "true")`)
	picture(p, "set-out")
	open("/site/00000000-0000-4000-8000-000000000003/pour", `document.querySelector(".bigs")`)
	picture(p, "pour")
	open("/site/00000000-0000-4000-8000-000000000003/watch", `document.querySelector("#drawing-small svg")`)
	picture(p, "watch")
	const rising = "/site/00000000-0000-4000-8000-000000000006"
	open(rising+"/set-out", `document.querySelector("#drawing-large svg")`)
	p.TapName("Long section")
	p.Wait(`document.querySelector(".table td")`)
	picture(p, "section")
	open(rising+"/ways", `document.querySelector("main svg")`)
	picture(p, "ways")
	open(rising+"/owner", `document.querySelector("#owner-view canvas")`)
	p.Eval(`new Promise((done) => setTimeout(done, 2500))`) // at rest it is drawn in full
	picture(p, "owner")
	open(rising+"/pack", `document.querySelector("main button")`)
	picture(p, "pack")
	open("/rules", `document.querySelector(".rules")`)
	picture(p, "rules")
	const halfBuilt = "/site/00000000-0000-4000-8000-000000000051"
	open(halfBuilt+"/more", `document.querySelector(".tiles")`)
	picture(p, "job")
	open(halfBuilt+"/build/poured", `document.querySelector("[data-packer]") && document.querySelector("[data-change]")`)
	p.Eval(`new Promise((done) => setTimeout(done, 500)).then(() => document.querySelector("#track-says").scrollIntoView({block: "start"}))`)
	picture(p, "poured")
}

func picture(p *Page, name string) {
	p.t.Helper()
	p.Wait(`document.fonts.status === "loaded"`)
	shot := get(p, chromedp.CaptureScreenshot())
	require.NoError(p.t, os.MkdirAll("pictures", 0o755))
	require.NoError(p.t, os.WriteFile(filepath.Join("pictures", name+".png"), shot, 0o644))
}

// TestShotsOffice takes the picture of the office: make shots. It is no check.
func TestShotsOffice(t *testing.T) {
	t.Parallel()
	if os.Getenv("PEGPOUR_SHOTS") == "" {
		t.Skip("make shots takes the pictures")
	}
	s := StartYard(t, requireServer(t), realBundle)
	crews := []*Device{s.Device(t, "crew", "Blue ute"), s.Device(t, "crew", "Van")}
	for n, name := range []string{
		"Mill Lane 3", "Weir Street 12", "Church Hill", "Orchard Way 7", "Quarry Road 41", "Ridge Road 90",
	} {
		d := demoDocument(n, "00000000-0000-4000-9000-00000000010"+string(rune('0'+n)), name)
		d.Survey.Site.Address, d.Survey.Site.MeasuredBy = "Lower Hamlet", []string{"Ana", "Ben"}[n%2]
		crews[n%2].Put(d)
		if n < 2 {
			office := s.Device(t, "office", "Other office")
			office.want(204, "PUT", "/api/v1/sites/"+d.ID+"/marks/"+[]string{"poured", "quoted"}[n], nil, nil)
		}
	}
	p := officePage(t, s, LaunchBrowser(t))
	p.Wait(`document.querySelectorAll(".office-line .thumb svg").length === 6`)
	picture(p, "office")
}
