package e2e

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// figure is the text of one of the large figures of Dig and pour.
func figure(p *Page, id string) string {
	return p.Text(`[data-figure="` + id + `"]`)
}

// answer types into the entry with our own keypad and goes on.
func answer(p *Page, keys string) {
	p.t.Helper()
	p.Wait(`document.querySelector("#entry")`)
	keyIn(p, keys)
	p.Wait(`document.querySelector("#entry").value.replace(/\s/g, "") === ` + quote(keys))
	asked := p.Text("#asked")
	p.Tap(`[data-key="next"]`)
	p.Wait(`document.querySelector("#asked").innerText !== ` + quote(asked))
}

// keyIn taps the keys of the keypad, two zeros in one where it has such a key, and
// returns how many taps it took.
func keyIn(p *Page, keys string) (taps int) {
	p.t.Helper()
	zeros := p.Eval(`document.querySelector('[data-key="00"]') !== null`) == "true"
	for ; keys != ""; taps++ {
		name := keys[:1]
		if zeros && strings.HasPrefix(keys, "00") {
			name = "00"
		}
		keys = keys[len(name):]
		p.Tap(`[data-key="` + strings.ReplaceAll(name, "-", "−") + `"]`)
	}
	return taps
}

func choose(p *Page, choice string) {
	p.t.Helper()
	asked := p.Text("#asked")
	p.Tap(`[data-choice="` + choice + `"]`)
	p.Wait(`document.querySelector("#asked").innerText !== ` + quote(asked))
}

// walkSquareSite enters a square concrete site, all of it, from the list on. What a
// second one may be built alike is answered as at the first.
func walkSquareSite(p *Page, name string) {
	p.t.Helper()
	p.Tap(`[data-do="new-site"]`)
	p.Wait(`document.querySelector("#asked")`)
	p.Type("#entry", name)
	walkOnSquareSite(p)
}

// walkOnSquareSite walks on from the name of the site.
func walkOnSquareSite(p *Page) {
	p.t.Helper()
	p.Tap(`[data-key="on"]`)
	p.Wait(says("#asked", "Opening"))
	answer(p, "4000")
	for {
		asked := p.Text("#asked")
		switch {
		case strings.Contains(asked, "Which way"):
			choose(p, "right")
		case strings.Contains(asked, "Driveway surface"):
			choose(p, "concrete")
		case strings.Contains(asked, "sound enough"):
			choose(p, "yes")
		case strings.Contains(asked, "edge on the"):
			choose(p, "both-flush")
		case strings.Contains(asked, "Room along"):
			answer(p, "5600")
		case strings.Contains(asked, "Depth free"):
			answer(p, "1400")
		case strings.Contains(asked, "Ground beside"):
			choose(p, "firm")
		case strings.Contains(asked, "Which motor"), asked == "Motor":
			choose(p, "plug-in")
		case strings.Contains(asked, "Outlet"):
			choose(p, "own post")
		case strings.Contains(asked, "Other cables"):
			choose(p, "no")
		case p.Eval(`document.querySelector('[data-do="as-last"]') !== null`) == "true":
			p.Tap(`[data-do="as-last"]`)
			p.Wait(`document.querySelector("#asked").innerText !== ` + quote(asked))
		case strings.Contains(asked, "holds the leaf upright"):
			choose(p, "gate post")
		case strings.Contains(asked, "Hard stop"):
			choose(p, "yes")
		case strings.Contains(asked, "Anything in the way"):
			choose(p, "nothing")
		case strings.Contains(asked, "That is the walk"):
			return
		default:
			p.Tap(`[data-do="rest"], [data-key="next"], [data-key="on"]`)
			p.Wait(`document.querySelector("#asked").innerText !== ` + quote(asked))
		}
	}
}

// The main job, end to end: a site is entered with the server gone, the set-out
// is drawn, the quantities are there; the browser is killed, started again
// without any signal, and all of it is still there.
func TestMainJobWithoutSignal(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t).Keeping()
	p := b.Open(t, s.URL+"/")
	p.WaitKept()
	s.Kill()

	walkSquareSite(p, "Harbour Lane 12")
	address := p.Eval("location.pathname")
	site := strings.TrimSuffix(address, "/measure")

	p.Tap(`a.tab[href$="/set-out"]`)
	p.Wait(`document.querySelector("#drawing-large svg")`)
	drawn := p.Eval(`document.querySelector("#drawing-large svg").textContent`)
	require.Contains(t, drawn, "4400")
	require.Contains(t, drawn, "4000")
	p.Tap(`a.tab[href$="/pour"]`)
	require.Equal(t, "100 mm", strings.TrimPrefix(figure(p, "foot.depth"), "~"))
	require.Equal(t, "0.106 m³", strings.TrimPrefix(figure(p, "concrete.order"), "~"))
	require.Equal(t, "12", strings.TrimPrefix(figure(p, "concrete.bags"), "~"))
	settled(p)
	before := p.Eval(`document.querySelector("main").innerText`)
	require.Empty(t, p.Faults())

	// Typing is cut off in the middle of a number.
	p.Tap(`a.tab[href$="/measure"]`)
	p.Go(s.URL + site + "/measure?field=runBack.room")
	p.WaitRunning()
	p.Wait(`document.querySelector("#entry")`)
	p.Tap(`[data-key="erase"]`)
	p.Eval(`document.querySelector("#entry").select()`)
	p.Tap(`[data-key="6"]`)
	p.Tap(`[data-key="1"]`)
	p.Wait(`document.querySelector("#entry").value === "61"`)
	settled(p)

	b.Kill()
	b.Relaunch(t)
	p = b.Open(t, s.URL+site+"/measure?field=runBack.room")
	p.Wait(`document.querySelector("#entry")`)
	require.Equal(t, "61", p.Value("#entry"), "what was typed when the browser was killed")
	p.TapName("Undo")
	p.Wait(`document.querySelector("#entry").value === "5600"`)
	p.Tap(`a.tab[href$="/pour"]`)
	p.Wait(`document.querySelector('[data-figure="concrete.order"]')`)
	require.Equal(t, before, p.Eval(`document.querySelector("main").innerText`))
	p.Go(s.URL + "/")
	p.WaitRunning()
	p.Wait(says("body", "Harbour Lane 12"))
	require.Equal(t, "0", p.Eval(keptElsewhere))
}

// settled waits until every edit is in the device's store.
func settled(p *Page) {
	p.t.Helper()
	p.Wait(`document.documentElement.dataset.unsaved === "0"`)
}

// Bad input is answered at the field; the rest of the drawing stays, and what
// was typed is kept.
func TestBadInputIsAnsweredAtTheField(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.Open(t, s.URL+"/")
	p.Tap(`[data-do="new-site"]`)
	p.Wait(`document.querySelector("#asked")`)
	site := strings.TrimSuffix(p.Eval("location.pathname"), "/measure")
	for _, c := range []struct{ typed, says string }{
		{"0", "allowed is 800\u00a0mm"},
		{"-5", "Read as -5\u00a0mm"},
		{"1e9", "Not read"},
		{"1000000000", "allowed is 800\u00a0mm"},
		{"abc", "Not read"},
		{"3.204 mm", "two ways"},
	} {
		p.Go(s.URL + site + "/measure?field=opening.width")
		p.WaitRunning()
		p.Wait(`document.querySelector("#entry")`)
		p.Eval(`document.querySelector("#entry").select()`)
		p.do(typeKeys(c.typed))
		p.Wait(says("#entry-says", c.says))
		p.Wait(`document.querySelector("#drawing-small svg")`)
		settled(p)
		p.Reload()
		p.Wait(`document.querySelector("#entry")`)
		require.Equal(t, c.typed, p.Value("#entry"))
	}
	// Empty is simply not measured.
	p.Eval(`document.querySelector("#entry").select()`)
	p.Tap(`[data-key="erase"]`)
	p.Wait(says("#entry-says", "Not measured yet"))
	require.Empty(t, p.Faults())
}

// typeKeys types into whatever has the focus.
func typeKeys(text string) chromedp.Action[chromedp.Void] { return chromedp.KeyEvent(text) }

// A laser types a value and Enter in one burst, faster than the screen is
// drawn: every key counts, and the walk goes on by itself.
func TestLaserBurstFlowsThroughTheFields(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.Open(t, s.URL+"/")
	p.Tap(`[data-do="new-site"]`)
	p.Wait(`document.querySelector("#asked")`)
	site := strings.TrimSuffix(p.Eval("location.pathname"), "/measure")
	p.Go(s.URL + site + "/measure?field=opening.postRunBack")
	p.WaitRunning()
	for _, c := range []struct{ field, burst string }{
		{"Run-back post", "0.115 m"}, {"Latch post", "121"}, {"square to the fence", "12.3 cm"},
	} {
		p.Wait(says("#asked", c.field) + ` && document.activeElement === document.querySelector("#entry")`)
		p.do(typeKeys(c.burst + "\r"))
	}
	p.Wait(says("#asked", "Gate posts are made of"))
	settled(p)
	p.Go(s.URL + site + "/figures")
	p.WaitRunning()
	p.Wait(`document.querySelector(".figure-link")`)
	words := p.Text("main")
	for _, value := range []string{"115 mm", "121 mm", "123 mm"} {
		require.Contains(t, words, value)
	}
	require.Empty(t, p.Faults())
}

// A survey file opens on another phone, and never writes over what is there.
func TestSavedSurveyOpensOnAnotherPhone(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	file := filepath.Join(t.TempDir(), "site.json")
	out, err := exec.Command(s.binary, "demo", "-site", "2").Output()
	require.NoError(t, err)
	survey := strings.Replace(string(out), "Demo: angled drive", "From the other phone", 1)
	survey = strings.Replace(survey, "00000000-0000-4000-8000-000000000002", "00000000-0000-4000-8000-0000000000ff", 1)
	require.NoError(t, os.WriteFile(file, []byte(survey), 0o600))

	b := LaunchBrowser(t)
	p := b.Open(t, s.URL+"/")
	p.Wait(`document.querySelector('[data-do="open-file"]')`)
	give := func() {
		p.do(chromedp.SetUploadFiles(`[data-do="open-file"]`, []string{file}))
		p.Wait(`location.pathname.endsWith("/set-out") && document.querySelector("#drawing-large svg")`)
	}
	give()
	p.Wait(says(".title", "From the other phone"))
	first := p.Eval("location.pathname")

	// The same again is the same site; of something else under its name it is asked.
	p.Go(s.URL + "/")
	p.WaitRunning()
	give()
	require.Equal(t, first, p.Eval("location.pathname"))
	anew := strings.Replace(survey, "From the other phone", "Measured anew", 1)
	require.NoError(t, os.WriteFile(file, []byte(anew), 0o600))
	p.Go(s.URL + "/")
	p.WaitRunning()
	p.do(chromedp.SetUploadFiles(`[data-do="open-file"]`, []string{file}))
	p.Wait(`document.querySelector("#file-in-question")`)
	p.Eval(press("Bring it in beside, as it was"))
	p.Wait(`location.pathname.endsWith("/set-out") && document.querySelector("#drawing-large svg")`)
	require.NotEqual(t, first, p.Eval("location.pathname"))
	p.Wait(says(".title", "Measured anew, as it was"))
	p.Go(s.URL + first)
	p.WaitRunning()
	p.Wait(says(".title", "From the other phone"))

	// What is no survey is said to be none.
	require.NoError(t, os.WriteFile(file, []byte("{}"), 0o600))
	p.Go(s.URL + "/")
	p.WaitRunning()
	p.do(chromedp.SetUploadFiles(`[data-do="open-file"]`, []string{file}))
	p.Wait(says("body", "This is no survey"))
}
