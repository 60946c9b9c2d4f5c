package e2e

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/demo"
)

// savedCaught notes what a page lets the browser save, and puts a window of the
// tests' own in the place of the one in which it prints.
const savedCaught = `
	window.caught = []; window.printed = [];
	const make = URL.createObjectURL;
	const digestOf = async (file) => {
		const bytes = new Uint8Array(await file.arrayBuffer());
		const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
		return {name: file.name, type: file.type, size: bytes.length, start: String.fromCharCode(...bytes.slice(0, 4)),
			digest: Array.from(digest, (b) => b.toString(16).padStart(2, "0")).join(""),
			text: /json|csv|svg/.test(file.type) ? new TextDecoder().decode(bytes) : ""};
	};
	URL.createObjectURL = (file) => {
		if (file.name) digestOf(file).then((f) => caught.push(f));
		return make(file);
	};
	window.open = () => ({
		location: {replace: (address) => printed.push("shown " + address)},
		focus() {}, print() { printed.push("printed"); }, close() {},
	});`

// deskSize makes a page as large as a desk's screen.
func deskSize(p *Page) { p.do(chromedp.EmulateViewport(1280, 900)) }

// officePage signs an office in.
func officePage(t testing.TB, s *Server, b *Browser, scripts ...string) *Page {
	t.Helper()
	p := b.NewPage(t)
	deskSize(p)
	p.BeforeScripts(savedCaught + strings.Join(scripts, ""))
	code := s.Code(t, "office")
	p.Go(s.URL + "/office#pair=" + code)
	p.WaitRunning()
	p.Wait(`document.getElementById("office-code") && document.getElementById("office-code").value === ` + quote(code))
	p.Wait(`location.hash === ""`)
	p.Type("#office-name", " desk")
	p.do(chromedp.KeyEvent("\r"))
	p.Wait(`document.querySelector(".office-nav")`)
	return p
}

// demoDocument is a demo site as a crew's own.
func demoDocument(n int, id, name string) *storage.Document {
	d := storage.NewDocument("2026-05-01T08:00:00Z")
	d.ID = id
	d.Survey = demo.Sites()[n].Survey.Clone()
	d.Survey.Site.Name = name
	return d
}

const (
	millLane = "00000000-0000-4000-9000-000000000001"
	weir     = "00000000-0000-4000-9000-000000000002"
)

// The office comes in by a code, finds a site, marks it, is told when another
// office was there first, and is shut out.
func TestOfficeListsAndMarks(t *testing.T) {
	t.Parallel()
	s := StartYard(t, requireServer(t), realBundle)
	ute, van, other := s.Device(t, "crew", "Blue ute"), s.Device(t, "crew", "Van"), s.Device(t, "office", "Other office")
	ute.Put(demoDocument(0, millLane, "Mill Lane 3"))
	van.Put(demoDocument(1, weir, "Weir Street 12"))
	p := officePage(t, s, LaunchBrowser(t))
	lines := func(n string) { p.Wait(`document.querySelectorAll(".office-line").length === ` + n) }
	lines("2")
	p.Wait(`document.querySelectorAll(".office-line .thumb svg").length === 2`)
	require.Contains(t, p.Text(".office-list"), "by Blue ute")
	forTheDesk(t, p, "list")

	look := func(words string) {
		p.Eval(`(() => { const e = document.getElementById("office-search"); e.focus(); e.select(); })()`)
		p.do(chromedp.KeyEvent(words))
	}
	for words, name := range map[string]string{
		"weir": "Weir Street 12", "blue ute": "Mill Lane 3", "demo crew van": "Weir Street 12",
	} {
		look(words)
		p.Wait(`document.querySelectorAll(".office-line").length === 1 &&
			document.querySelector(".site-name").innerText === ` + quote(name))
	}
	look("nowhere")
	lines("0")
	require.Contains(t, p.Text(".empty"), "No site is like that")
	look("mill")
	lines("1")

	quoted := `[data-site="` + millLane + `"] [data-mark="quoted"]`
	marked := func(is string) {
		p.Wait(`document.querySelector(` + quote(quoted) + `).getAttribute("aria-pressed") === "` + is + `"`)
	}
	p.Tap(quoted)
	marked("true")
	require.Equal(t, "Quoted", p.Text(".chip"))
	status, _ := other.Do("GET", "/api/v1/sites/"+millLane+"/marks/quoted", nil)
	require.Equal(t, 200, status)
	// The other office takes it back: here it still looks marked.
	other.want(204, "DELETE", "/api/v1/sites/"+millLane+"/marks/quoted", nil, nil)
	p.Tap(quoted)
	p.Wait(says(".bar-stop", "Somebody else changed this"))
	marked("false")
	p.Tap(quoted)
	marked("true")
	setSelect(p, "#office-state", "poured")
	lines("0")

	// No yard, then a yard that no longer knows this browser.
	var devices struct{ Devices []struct{ ID, Name string } }
	other.want(200, "GET", "/api/v1/devices", nil, &devices)
	for _, d := range devices.Devices {
		if d.Name == "Office desk" {
			other.want(204, "DELETE", "/api/v1/devices/"+d.ID, nil, nil)
		}
	}
	s.Kill()
	look("weir")
	p.Wait(says(".bar-stop", "not reachable"))
	s.Restart(t, realBundle)
	p.Tap(`[data-do="again"]`)
	p.Wait(says("#office-says", "withdrawn"))
	p.Eval(`document.getElementById("office-code").value = ` + quote(s.Code(t, "crew")))
	p.Tap(`[data-do="sign-in"]`)
	p.Wait(says("#office-says", "crew"))
	assert.Empty(t, without(p.Faults(), "Failed to load resource"))
}

// The office makes the documents of a version that a phone sent: the same
// bytes as the phone's and as the command line's.
func TestOfficePrintsWhatThePhoneMakes(t *testing.T) {
	t.Parallel()
	binary := requireServer(t)
	s := StartYard(t, binary, realBundle)
	b := LaunchBrowser(t)
	phone := b.NewPage(t)
	phone.BeforeScripts(shareCaught)
	phone.Go(s.URL + angledSite + "/pack")
	phone.WaitRunning()
	phone.Tap(`[data-pack="all"]`)
	made := caught(t, phone)
	survey := made["demo-angled-drive-survey.json"]
	doc, err := storage.Decode([]byte(survey.Text))
	require.NoError(t, err)
	ute := s.Device(t, "crew", "Blue ute")
	first := ute.Put(doc)
	later := *doc
	later.Survey.Site.Client, later.Changed = "Mrs Ode", "2026-06-01T00:00:00Z"
	ute.Put(&later, first)
	phone.Close()

	p := officePage(t, s, LaunchBrowser(t))
	open := func(path string) {
		p.Go(s.URL + path)
		p.WaitRunning()
		p.Wait(`document.querySelector("[data-pack=all]")`)
	}
	open("/office/site/" + doc.ID)
	p.Wait(`document.querySelector(".changes")`)
	require.Contains(t, p.Text(".changes"), "“Mrs Ode”")
	p.Wait(`document.querySelectorAll(".past > li").length === 2`)
	forTheDesk(t, p, "site, history and papers")
	p.Eval(`document.querySelector('[data-revision="` + string(first) + `"] a').click()`)
	p.Wait(`document.querySelector('[data-older="` + string(first) + `"]')`)
	require.Equal(t, "0", p.Eval(`document.querySelectorAll(".office-entry").length`), "an older version is read only")
	forTheDesk(t, p, "an older version")
	tapAfar(p, `[data-pack="all"]`)
	p.Wait(`caught.length === ` + strconv.Itoa(len(made)))
	saved := savedFiles(t, p)
	file := filepath.Join(t.TempDir(), "survey.json")
	require.NoError(t, os.WriteFile(file, []byte(survey.Text), 0o600))
	for name, phones := range made {
		require.Contains(t, saved, name)
		assert.Equal(t, phones.Digest, saved[name].Digest, name)
		reader, isSheet := strings.CutSuffix(strings.TrimPrefix(name, "demo-angled-drive-"), ".pdf")
		if !isSheet {
			continue
		}
		var out bytes.Buffer
		command := exec.Command(binary, "sheets", "-in", file, "-for", reader)
		command.Stdout = &out
		require.NoError(t, command.Run())
		sum := sha256.Sum256(out.Bytes())
		assert.Equal(t, hex.EncodeToString(sum[:]), saved[name].Digest, name)
	}

	// Print shows the same bytes in a window and asks the browser to print it.
	p.Eval(`(window.caught = [], 1)`)
	tapAfar(p, `[data-print="labourer"]`)
	p.Wait(`printed.includes("printed") && printed[0].startsWith("shown blob:") && caught.length === 1`)
	const sheets = "demo-angled-drive-labourer.pdf"
	assert.Equal(t, made[sheets].Digest, savedFiles(t, p)[sheets].Digest)

	// The copy with photos is one that a phone restores.
	open("/office/site/" + doc.ID)
	p.Wait(`document.querySelectorAll(".past > li").length === 2`) // comes last and moves what stands below
	p.Eval(`(window.caught = [], 1)`)
	tapAfar(p, `[data-do="export"]`)
	p.Wait(`caught.length === 1`)
	copied := savedFiles(t, p)["demo-angled-drive.pegpour-backup"]
	report, err := storage.NewMemory().RestoreBackUp(t.Context(), strings.NewReader(copied.Text), storage.LookOnly)
	require.NoError(t, err)
	require.True(t, report.Complete)
	assert.Empty(t, p.Faults())
}

func savedFiles(t *testing.T, p *Page) map[string]caughtFile {
	t.Helper()
	var list []caughtFile
	require.NoError(t, json.Unmarshal([]byte(p.Eval("JSON.stringify(caught)")), &list))
	all := map[string]caughtFile{}
	for _, f := range list {
		all[f.Name] = f
	}
	return all
}

// What the office corrects survives a reload, goes out as one revision on what
// it was begun on, and two versions are brought together by a person.
func TestOfficeCorrects(t *testing.T) {
	t.Parallel()
	s := StartYard(t, requireServer(t), realBundle)
	ute, van := s.Device(t, "crew", "Blue ute"), s.Device(t, "crew", "Van")
	doc := demoDocument(0, millLane, "Mill Lane 3")
	first := ute.Put(doc)
	p := officePage(t, s, LaunchBrowser(t))
	open := func() {
		p.Go(s.URL + "/office/site/" + millLane)
		p.WaitRunning()
		p.Wait(`(document.getElementById("figure-opening.width") || {value: ""}).value !== ""`)
	}
	write := func(field, text string) {
		selector := `[id="figure-` + field + `"]`
		p.Eval(`document.querySelector(` + quote(selector) + `).closest("details").open = true`)
		p.Eval(selectAll(selector))
		p.do(chromedp.KeyEvent(text))
	}
	stored := `document.documentElement.dataset.unsaved === "0"`
	open()
	write("site.client", "Mrs Ode")
	p.Wait(stored)
	// The store of the browser fails: what is typed is not called stored.
	p.Eval(`(window.begin = IDBDatabase.prototype.transaction) &&
		(IDBDatabase.prototype.transaction = function (names, mode, ...rest) {
			if (mode === "readwrite") throw new DOMException("full", "QuotaExceededError");
			return window.begin.call(this, names, mode, ...rest);
		}) && 1`)
	write("opening.width", "4.1 m")
	p.Wait(says(".correction", "4100\u00a0mm"))
	p.Wait(`Number(document.documentElement.dataset.unsaved) > 0`)
	require.Never(t, func() bool { return p.Eval(`document.documentElement.dataset.unsaved`) == "0" }, time.Second, 100*time.Millisecond)
	p.Eval(`(IDBDatabase.prototype.transaction = window.begin) && 1`)
	write("opening.width", "4.12 m")
	p.Wait(says(".correction", "4120\u00a0mm"))
	require.Equal(t, "4.12 m", p.Value(`[id="figure-opening.width"]`), "what is typed is not taken back")
	require.Equal(t, "0", p.Eval(`document.querySelectorAll("[data-pack]").length`),
		"no documents of what is not in the yard")
	p.Wait(stored)
	open()
	p.Wait(says(".correction", "Mrs Ode"))

	// A figure that cannot be read is kept and said; a crew sends meanwhile.
	write("runBack.room", "five")
	p.Wait(says(`[id="figure-runBack.room-says"]`, "Not read"))
	forTheDesk(t, p, "correcting figures")
	write("runBack.room", "5600")
	p.Wait(`document.getElementById("figure-runBack.room-says").innerText === ""`)
	meanwhile := *doc
	meanwhile.Survey.Site.Notes, meanwhile.Changed = "Dog in the yard", "2026-05-02T00:00:00Z"
	van.Put(&meanwhile, first)
	p.Wait(stored)
	p.Tap(`[data-do="send"]`)
	p.Wait(`!document.querySelector(".correction") && document.querySelector("[data-pack]")`)
	newest := ute.Newest(millLane)
	assert.Equal(t, 4120.0, newest.Survey.Opening.Width.Size)
	assert.Equal(t, survey.ByLaser, newest.Survey.Opening.Width.How, "how it was taken stays")
	assert.Equal(t, "Mrs Ode", newest.Survey.Site.Client)
	assert.Equal(t, "Dog in the yard", newest.Survey.Site.Notes, "the crew's change is in it")
	p.Wait(`document.querySelectorAll(".past > li").length === 4`)
	require.Contains(t, p.Text(".past"), "Office desk")

	// Two crews measure the same differently.
	head := ute.Heads(millLane)[0]
	for device, width := range map[*Device]float64{ute: 4130, van: 4140} {
		d := *newest
		d.Survey.Opening.Width = survey.Measured(width, survey.ByTape)
		device.Put(&d, head)
	}
	require.Len(t, ute.Heads(millLane), 2)
	open()
	p.Wait(`document.querySelector(".versions")`)
	require.Equal(t, "true", p.Eval(`document.querySelector("[data-do=settle]").disabled`))
	forTheDesk(t, p, "two versions")
	p.Eval(`[...document.querySelectorAll("[data-choose]")].find((e) => e.innerText.includes("4140")).click()`)
	p.Wait(`!document.querySelector("[data-do=settle]").disabled`)
	p.Tap(`[data-do="settle"]`)
	p.Wait(`!document.querySelector(".versions") && document.getElementById("figure-opening.width").value === "4140"`)
	assert.Equal(t, 4140.0, ute.Newest(millLane).Survey.Opening.Width.Size)

	// On the screens of measuring, and back by way of sync.
	// Not by its place: the line that says that the correction is sent comes in
	// meanwhile and moves it.
	p.Wait(`document.querySelector('[data-do="measure-here"]')`)
	p.Eval(`document.querySelector('[data-do="measure-here"]').click()`)
	p.Wait(`location.pathname === "/site/` + millLane + `/measure"`)
	// The phone's program comes with a page of its own: let it be there.
	p.WaitRunning()
	p.Wait(`document.querySelector("#asked")`)
	p.Go(s.URL + "/site/" + millLane + "/measure?field=opening.width")
	p.WaitRunning()
	p.Wait(`document.getElementById("entry") && document.getElementById("entry").value === "4140"`)
	p.Eval(`(() => { const e = document.getElementById("entry"); e.focus(); e.select(); })()`)
	p.do(chromedp.KeyEvent("4150"))
	corrected := func() bool { return ute.Newest(millLane).Survey.Opening.Width.Size == 4150 }
	require.Eventually(t, corrected, patience, 200*time.Millisecond)
	assert.Empty(t, p.Faults())
}

// The office lets a phone in by a picture and a code, and shuts it out.
func TestOfficeDevices(t *testing.T) {
	t.Parallel()
	s := StartYard(t, requireServer(t), realBundle)
	p := officePage(t, s, LaunchBrowser(t))
	p.TapName("Devices")
	p.Tap(`[data-code="crew"]`)
	code := p.Text(`[data-pairing="crew"]`)
	p.Wait(`document.querySelector(".code-picture path + path").getAttribute("d").length > 1000`)
	require.Equal(t, s.URL+"/sync#pair="+code, p.Text(".code-link"))
	forTheDesk(t, p, "a code")
	phone := s.Pair(t, code, "Green ute")
	p.Wait(`document.querySelector('[data-arrived="Green ute"]')`)
	status, _ := phone.Do("GET", "/api/v1/device", nil)
	require.Equal(t, 200, status)
	forTheDesk(t, p, "devices")
	tapAfar(p, `[data-withdraw="`+phone.ID+`"]`)
	tapAfar(p, `[data-do="withdraw"]`)
	p.Wait(`document.querySelector('[data-device="` + phone.ID + `"].shut-out')`)
	status, _ = phone.Do("GET", "/api/v1/device", nil)
	require.Equal(t, 401, status)
	p.Wait(says(".past", "shut out Green ute"))
	tapAfar(p, `[data-do="sign-out"]`)
	p.Wait(`document.getElementById("office-code")`)
	p.Reload()
	p.Wait(`document.getElementById("office-code")`)
	assert.Empty(t, p.Faults())
}
