package e2e

import (
	"net/http"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"
)

const (
	// officeIsKept tells whether the program of the office is kept for use without
	// signal.
	officeIsKept = `caches.match(document.documentElement.dataset.office).then(Boolean)`
	inOffice     = `document.querySelector(".screen-office .office-nav")`
)

// The program of the office is fetched where somebody opens the office, and nowhere
// else; from then on it is kept with the rest, of the same version.
func TestOfficeComesWhenItIsOpened(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), bareFirst)
	first := readWorker(t, s)
	var fetched atomic.Int64
	relay := startRelay(t, s, func(r *http.Response) error {
		if at := r.Request.URL.Path; strings.HasPrefix(at, "/a/office.") && strings.HasSuffix(at, ".wasm") {
			fetched.Add(1)
		}
		return nil
	})
	p := LaunchBrowser(t).Keeping().Open(t, relay+"/site/xyz")
	p.WaitKept()
	require.Zero(t, fetched.Load(), "neither the page nor its worker asks for it")
	require.Equal(t, "false", p.Eval(officeIsKept))

	p.Go(relay + "/office/site/xyz")
	p.WaitRunning()
	p.WaitKept()
	require.EqualValues(t, 1, fetched.Load())
	require.Equal(t, "true", p.Eval(officeIsKept))
	require.Equal(t, first.Version, p.Text(Test("version")))
	p.Type(Test("note"), "half a wo")

	// The next version is put by with it, and both start without signal.
	s.Restart(t, bareSecond)
	second := readWorker(t, s)
	p.Eval(lookForUpdate)
	p.Text(Test("update-notice"))
	s.Kill()
	p.TapName("Update now")
	p.Wait(`window.pegpourShell && pegpourShell.version === "` + second.Version + `"`)
	p.WaitRunning()
	require.Equal(t, "half a wo", p.Value(Test("note")))
	require.Equal(t, "true", p.Eval(officeIsKept))
	p.Go(relay + "/site/xyz")
	p.WaitRunning()
	require.Equal(t, second.Version, p.Text(Test("version")))
	require.Equal(t, "phone", p.Eval("pegpourProgram()"))
	waitOnlyKept(p, second.Version)
}

// On a device that keeps a version without its office, while the server has a newer
// one, the office comes whole of the newer one, and the rest stays as it was.
func TestOfficeOpenedLateIsOfOneVersion(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), bareFirst)
	first := readWorker(t, s)
	p := LaunchBrowser(t).Keeping().Open(t, s.URL+"/")
	p.WaitKept()
	s.Kill()
	p.Go(s.URL + "/office")
	p.Wait(says("body", "could not be fetched"))

	s.Restart(t, bareSecond)
	second := readWorker(t, s)
	p.Go(s.URL + "/office")
	p.WaitRunning()
	require.Equal(t, second.Version, p.Text(Test("version")))
	require.Equal(t, "office", p.Eval("pegpourProgram()"))
	p.Text(Test("update-notice"))
	p.Go(s.URL + "/")
	p.WaitRunning()
	require.Equal(t, first.Version, p.Text(Test("version")), "nobody has asked for the newer one")
}

// One goes from the phone's screens to the office's and back: by links, and by the
// browser's own way back.
func TestBetweenPhoneAndOffice(t *testing.T) {
	t.Parallel()
	s := StartYard(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Keeping().NewPage(t)
	pairByLink(p, s.URL+"/sync#pair="+s.Code(t, "office"), "Desk")
	p.Eval(`window.before = true`)
	p.TapName("Open the office")
	p.Wait(inOffice)
	require.Equal(t, "/office undefined", p.Eval(`location.pathname + " " + window.before`), "the page was loaded anew")
	p.TapName("Devices")
	p.Wait(`location.pathname === "/office/devices" && document.querySelector("[data-code=crew]")`)
	p.TapName("Sites on this device")
	p.Wait(`document.querySelector(".screen-sites .site-link")`)
	p.Eval(`history.back()`)
	p.Wait(`location.pathname === "/office/devices" && document.querySelector("[data-code=crew]")`)
	p.Eval(`history.back()`)
	p.Wait(`location.pathname === "/office" && ` + inOffice)
	p.Eval(`history.back()`)
	p.Wait(`location.pathname === "/sync" && document.querySelector("#paired-as")`)
	p.Go(s.URL + "/office/nowhere")
	p.Wait(says("h1", "Nothing here"))
	require.Empty(t, p.Faults())
}
