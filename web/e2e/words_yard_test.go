package e2e

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"pegpour/app/words/gather"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// tongue is the language in which the screens of yard, back-up and office are
// walked: the one for tests, or with PEGPOUR_LOOK=<folder> German, of which each
// state is put there as a picture for a person to look at, and nothing checked.
type tongue struct {
	t      *testing.T
	script string
	folder string
}

func newTongue(t *testing.T) tongue {
	t.Helper()
	if folder := os.Getenv("PEGPOUR_LOOK"); folder != "" {
		require.NoError(t, os.MkdirAll(folder, 0o755))
		return tongue{t, `Object.defineProperty(navigator, "languages", { get: () => ["de-AT", "en"] });`, folder}
	}
	report, err := gather.Gather("../..")
	require.NoError(t, err)
	pseudo, err := json.Marshal(string(gather.Pseudo(report)))
	require.NoError(t, err)
	return tongue{t, "const PSEUDO = " + string(pseudo) + ";" + speakPseudo, ""}
}

// look reads a state of a screen: no plain word is left, and nothing is wider
// than the screen.
func (g tongue) look(p *Page, state string) {
	g.t.Helper()
	if g.folder == "" {
		if plain := p.Eval(plainWords); plain != "[]" {
			g.t.Errorf("%s: %s", state, plain)
		}
		if wide := p.Eval(`document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide != "0" {
			g.t.Errorf("%s is %s pixels wider than the screen", state, wide)
		}
		return
	}
	for _, size := range [][2]int64{{360, 640}, {390, 844}} {
		p.do(chromedp.EmulateViewport(size[0], size[1],
			chromedp.EmulateScale(1), chromedp.EmulateMobile, chromedp.EmulateTouch))
		height := p.Eval(`Math.min(4000, Math.max(document.documentElement.scrollHeight, innerHeight))`)
		var tall int64
		require.NoError(g.t, json.Unmarshal([]byte(height), &tall))
		p.do(chromedp.EmulateViewport(size[0], tall, chromedp.EmulateScale(1), chromedp.EmulateMobile, chromedp.EmulateTouch))
		picture := get(p, chromedp.CaptureScreenshot())
		name := strings.ReplaceAll(state, " ", "-") + map[int64]string{360: "-360", 390: "-390"}[size[0]] + ".png"
		require.NoError(g.t, os.WriteFile(filepath.Join(g.folder, name), picture, 0o644))
	}
}

// nameless is a site whose words are numbers only, so that nothing that a person
// typed is taken for a text of the program.
func nameless(id, name string) *storage.Document {
	d := demoDocument(0, id, name)
	d.Survey.Site = survey.Site{Name: name}
	return d
}

// The phone's screens of back-up, yard and two versions have no hard-wired word,
// whatever state they are in.
func TestNoWordIsHardWiredAtTheYard(t *testing.T) {
	t.Parallel()
	g := newTongue(t)
	s := StartYard(t, requireServer(t), realBundle)
	line := startLine(t, s)
	p := LaunchBrowser(t).Keeping().NewPage(t)
	p.BeforeScripts(g.script + filesCaught)
	p.Go(line.URL + "/sync")
	p.WaitRunning()
	p.WaitKept()
	p.Wait(`document.querySelector('[data-do="pair"]')`)
	p.Tap(`[data-do="pair"]`)
	p.Wait(`document.querySelector("#yard-says").innerText !== ""`)
	g.look(p, "yard no code typed")
	p.Eval(`document.querySelector("#yard-code").value = "22222-33333"`)
	p.Tap(`[data-do="pair"]`)
	p.Wait(`document.querySelector("#yard-says").innerText.length > 70`)
	g.look(p, "yard a bad code")
	_, link := s.PairingLink(t, "crew", line.URL)
	p.Go(link)
	p.WaitRunning()
	p.Wait(`document.querySelector("#yard-code") && document.querySelector("#yard-code").value !== ""`)
	g.look(p, "yard the code came with the picture")
	pairNow(p, "7")
	g.look(p, "yard paired")

	goTo(p, "/", `[data-do="new-site"]`)
	p.Tap(`[data-do="new-site"]`)
	p.Wait(`document.querySelector("#entry")`)
	p.Type("#entry", "12")
	settled(p)
	id := strings.Split(p.Eval("location.pathname"), "/")[2]
	goTo(p, "/sync", "#yard-tally")
	tryUntil(p, `document.querySelector("#yard-tally").dataset.waiting === "0"`)

	// Both a van and this phone change the opening.
	van := s.Device(t, "crew", "8")
	other := van.Newest(id)
	other.Survey.Opening.Width = survey.Measured(4140, survey.ByTape)
	head := van.Heads(id)[0]
	line.CutAfter(0)
	width(p, id, "3600")
	van.Put(other, head)
	goTo(p, "/", "#tally")
	p.Wait(`document.querySelector("#tally").dataset.waiting === "1"`)
	g.look(p, "sites one waits")
	goTo(p, "/site/"+id+"/more", "#site-tally")
	g.look(p, "more not in the yard")
	goTo(p, "/sync", "#yard-tally")
	tryUntil(p, `document.querySelector(".trouble-words")`)
	p.Type("#yard-find", "12")
	p.Tap(`[data-do="find"]`)
	p.Wait(`document.querySelector(".finder ~ .error")`)
	g.look(p, "yard not reachable")
	line.Mend()
	tryUntil(p, `document.querySelector('[data-conflict="`+id+`"]')`)
	g.look(p, "yard two versions")
	p.Tap(`[data-do="find"]`)
	p.Wait(`document.querySelector(".found")`)
	g.look(p, "yard found")
	goTo(p, "/site/"+id+"/versions", ".twin")
	g.look(p, "versions")
	p.Tap(`[data-keep="yard"]`)
	g.look(p, "versions chosen")
	tapAfar(p, `[data-do="settle"]`)
	p.Wait(`document.querySelector("#one-version")`)
	g.look(p, "versions settled")
	goTo(p, "/sync", "#yard-tally")
	tapAfar(p, `[data-do="leave"]`)
	g.look(p, "yard leaving")

	goTo(p, "/safe", "#last-back-up")
	g.look(p, "safe")
	tapAfar(p, `[data-do="persist"]`)
	tapAfar(p, `[data-do="back-up"]`)
	p.Wait(`document.querySelector('[data-do="save-back-up"]')`)
	g.look(p, "safe a file is ready")
	tapAfar(p, `[data-do="save-back-up"]`)
	settled(p)
	data := lastFile(p)
	folder := t.TempDir()
	for _, c := range []struct {
		name    string
		content []byte
		until   string
	}{
		{"safe all is here", data, `#nothing-new`},
		{"safe the file is cut short", data[:len(data)-100], `.safe .error`},
		{"safe no back-up", []byte("x"), `.safe .error`},
	} {
		file := filepath.Join(folder, "1")
		require.NoError(t, os.WriteFile(file, c.content, 0o644))
		goTo(p, "/safe", "#restore-file")
		p.chooseFile("#restore-file", file)
		p.Wait(`document.querySelector(` + quote(c.until) + `)`)
		g.look(p, c.name)
	}
	width(p, id, "3700")
	goTo(p, "/safe", "#restore-file")
	file := filepath.Join(folder, "2")
	require.NoError(t, os.WriteFile(file, data, 0o644))
	p.chooseFile("#restore-file", file)
	p.Wait(`document.querySelector("#restore-report")`)
	g.look(p, "safe older than here")

	goTo(p, "/", ".open-file input")
	require.NoError(t, os.WriteFile(file, []byte(`{"format":"pegpour-site","version":1,"id":3}`), 0o644))
	p.chooseFile(".open-file input", file)
	p.Wait(`document.querySelector(".error[role=alert]")`)
	g.look(p, "sites a file that is no survey")
}

// The same of the office's screens.
func TestNoWordIsHardWiredInTheOffice(t *testing.T) {
	t.Parallel()
	g := newTongue(t)
	s := StartYard(t, requireServer(t), realBundle)
	ute, van, other := s.Device(t, "crew", "7"), s.Device(t, "crew", "8"), s.Device(t, "office", "9")
	doc := nameless(millLane, "12")
	first := ute.Put(doc)
	van.Put(nameless(weir, "13"))
	p := officePage(t, s, LaunchBrowser(t), g.script)
	if g.folder != "" {
		p.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateScale(1)))
	}
	p.Wait(`document.querySelectorAll(".office-line .thumb svg").length === 2`)
	quoted := `[data-site="` + millLane + `"] [data-mark="quoted"]`
	p.Tap(quoted)
	p.Wait(`document.querySelector(` + quote(quoted) + `).getAttribute("aria-pressed") === "true"`)
	g.look(p, "office list")
	other.want(204, "DELETE", "/api/v1/sites/"+millLane+"/marks/quoted", nil, nil)
	p.Tap(quoted)
	p.Wait(`document.querySelector(".bar-stop")`)
	g.look(p, "office somebody else changed it")
	p.Type("#office-search", "99")
	p.Wait(`document.querySelector(".empty")`)
	g.look(p, "office nothing found")

	open := func(path, until string) {
		p.Go(s.URL + path)
		p.WaitRunning()
		p.Wait(`document.querySelector(` + quote(until) + `)`)
	}
	later := *doc
	later.Survey.Opening.Width, later.Changed = survey.Measured(4130, survey.ByLaser), "2026-06-01T00:00:00Z"
	second := ute.Put(&later, first)
	open("/office/site/"+millLane, `.changes`)
	p.Eval(`document.querySelectorAll("details").forEach((d) => { d.open = true })`)
	g.look(p, "office site")
	write := func(text string) {
		p.Eval(selectAll(`[id="figure-runBack.room"]`))
		p.do(chromedp.KeyEvent(text))
	}
	p.Wait(`document.getElementById("figure-runBack.room")`)
	write("x")
	p.Wait(`document.getElementById("figure-runBack.room-says").innerText !== ""`)
	g.look(p, "office not read")
	write("5600")
	p.Wait(`document.querySelector(".correction") && document.getElementById("figure-runBack.room-says").innerText === ""`)
	g.look(p, "office correction")
	tapAfar(p, `[data-do="drop"]`)
	for device, size := range map[*Device]float64{ute: 4150, van: 4160} {
		d := later
		d.Survey.Opening.Width = survey.Measured(size, survey.ByTape)
		device.Put(&d, second)
	}
	open("/office/site/"+millLane, `.versions`)
	g.look(p, "office two versions")
	p.Wait(`document.querySelector('[data-revision="` + string(first) + `"] a')`)
	p.Eval(`document.querySelector('[data-revision="` + string(first) + `"] a').click()`)
	p.Wait(`document.querySelector('[data-older="` + string(first) + `"]')`)
	g.look(p, "office an older version")

	open("/office/devices", `[data-code="crew"]`)
	p.Tap(`[data-code="crew"]`)
	p.Wait(`document.querySelector('[data-pairing="crew"]')`)
	code := p.Text(`[data-pairing="crew"]`)
	g.look(p, "office a code")
	phone := s.Pair(t, code, "10")
	p.Wait(`document.querySelector('[data-arrived="10"]')`)
	tapAfar(p, `[data-withdraw="`+phone.ID+`"]`)
	p.Wait(`document.querySelector('[data-do="withdraw"]')`)
	g.look(p, "office shut out")
	tapAfar(p, `[data-do="withdraw"]`)
	p.Wait(`document.querySelector('[data-device="` + phone.ID + `"].shut-out')`)
	other.want(200, "GET", "/api/v1/sites/"+weir+"/export", nil, nil)
	ute.Do("GET", "/api/v1/audit", nil)
	s.Device(t, "crew", "11").Do("DELETE", "/api/v1/device", nil)
	(&Device{t: t, url: s.URL}).Do("POST", "/api/v1/pair", []byte(`{"code":"22222-33333","name":"1"}`))
	open("/office/devices", ".past li")
	g.look(p, "office what was done")
	s.Kill()
	p.Tap(`[data-code="crew"]`)
	p.Wait(`document.querySelector(".bar-stop")`)
	g.look(p, "office not reachable")
}
