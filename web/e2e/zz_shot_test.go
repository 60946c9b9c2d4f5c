package e2e

import "testing"

func TestZZShot(t *testing.T) {
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).NewPage(t)
	p.BeforeScripts(phoneSized)
	p.throttle(8)
	p.Go(s.URL + pairSite + "/measure?field=done")
	p.Wait(`document.querySelector("#sure-progress")`)
	p.Screenshot("end-working")
	p.Wait(`document.querySelector(".answer h3")`)
	p.Screenshot("end-ready")
}

const phoneSized = ""
