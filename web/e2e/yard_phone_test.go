package e2e

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// keptDocument reads a site as the phone keeps it, past the program; "" when it
// is not there.
func keptDocument(p *Page, id string) string {
	p.t.Helper()
	return p.Eval(keptIn("documents", `store.get(`+quote(id)+`)`) + `.then((text) => text || "")`)
}

// keptIn is an expression that asks one table of the phone's store.
func keptIn(table, request string) string {
	return `new Promise((good, bad) => {
		const open = indexedDB.open("pegpour");
		open.onerror = () => bad(open.error);
		open.onsuccess = () => {
			const store = open.result.transaction(` + quote(table) + `).objectStore(` + quote(table) + `);
			const asked = ` + request + `;
			asked.onerror = () => bad(asked.error);
			asked.onsuccess = () => { open.result.close(); good(asked.result); };
		};
	})`
}

// goTo opens a screen at the address that the page has already.
func goTo(p *Page, path, until string) {
	p.t.Helper()
	open(p, p.Eval("location.origin")+path, until)
}

// pairByLink opens the address that the picture holds and pairs.
func pairByLink(p *Page, link, name string) {
	p.t.Helper()
	p.Go(link)
	p.WaitRunning()
	p.Wait(`document.querySelector("#yard-code") && document.querySelector("#yard-code").value !== ""`)
	require.NotContains(p.t, p.Eval("location.href"), "pair=", "a code stands in no history")
	pairNow(p, name)
}

func pairNow(p *Page, name string) {
	p.t.Helper()
	p.Eval(`document.querySelector("#yard-name").value = ` + quote(name))
	p.Tap(`[data-do="pair"]`)
	p.Wait(`document.querySelector("#paired-as")`)
	require.Contains(p.t, p.Text("#paired-as"), name)
}

// nothingWaits opens the Yard screen and waits until all is in the yard.
func nothingWaits(p *Page) {
	p.t.Helper()
	goTo(p, "/sync", "#yard-tally")
	tryUntil(p, `document.querySelector("#yard-tally").dataset.waiting === "0" &&
		document.querySelector("#yard-tally").innerText === "Everything is in the yard"`)
}

// tryUntil waits for something and has the yard tried again meanwhile: the
// program's own waits grow to minutes.
func tryUntil(p *Page, expression string) {
	p.t.Helper()
	p.Wait(`(window.dispatchEvent(new Event("online")), ` + expression + `)`)
}

func width(p *Page, id, keys string) {
	p.t.Helper()
	goTo(p, "/site/"+id+"/measure?field=opening.width", `[data-entry="opening.width"]`)
	p.Eval(`document.querySelector("#entry").focus()`)
	p.Eval(fill("#entry", keys))
	settled(p)
	require.Contains(p.t, keptDocument(p, id), `"text":"`+keys+`"`)
}

func note(p *Page, id, text string) {
	p.t.Helper()
	goTo(p, "/site/"+id+"/photos", `[data-do="add-note"]`)
	p.Tap(`[data-do="add-note"]`)
	p.Wait(`document.querySelector("textarea")`)
	p.Type("textarea", text)
	p.Eval(`document.querySelector("textarea").dispatchEvent(new Event("change", {bubbles: true}))`)
	settled(p)
	require.Contains(p.t, keptDocument(p, id), text)
}

// noisyPhoto writes a photo that cannot be packed small, so that it goes to the
// yard in several pieces.
func noisyPhoto(t *testing.T) string {
	t.Helper()
	random := rand.New(rand.NewPCG(7, 7))
	picture := image.NewRGBA(image.Rect(0, 0, 1200, 900))
	for y := range 900 {
		for x := range 1200 {
			picture.SetRGBA(x, y, color.RGBA{uint8(random.Uint32()), uint8(random.Uint32()), uint8(random.Uint32()), 255})
		}
	}
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, picture, nil))
	name := filepath.Join(t.TempDir(), "IMG_0002.jpg")
	require.NoError(t, os.WriteFile(name, b.Bytes(), 0o644))
	return name
}

// Two phones and a yard that is killed and started again: both change one site
// without signal; what can be brought together is, what cannot is put to a
// person, and in the end all hold the same. A photo arrives over a line that is
// cut in the middle of it.
func TestTwoPhonesAndAYardThatIsKilled(t *testing.T) {
	t.Parallel()
	s := StartYard(t, requireServer(t), realBundle)
	line := startLine(t, s)
	first, second := LaunchBrowser(t).Keeping(), LaunchBrowser(t).Keeping()

	// One pairs by the link of the picture, the other by typing the code.
	one := first.NewPage(t)
	_, link := s.PairingLink(t, "crew", line.URL)
	pairByLink(one, link, "Anna's phone")
	code, _ := s.PairingLink(t, "crew", s.URL)
	two := second.Open(t, s.URL+"/sync")
	two.Type("#yard-code", strings.ToLower(code))
	pairNow(two, "Ben's phone")

	goTo(one, "/", `[data-do="new-site"]`)
	one.Wait(`document.querySelector("#tally")`)
	one.Tap(`[data-do="new-site"]`)
	one.Wait(`document.querySelector("#entry")`)
	one.Type("#entry", "Harbour Lane 12")
	settled(one)
	id := strings.Split(one.Eval("location.pathname"), "/")[2]
	nothingWaits(one)

	two.Type("#yard-find", "harbour")
	two.Tap(`[data-do="find"]`)
	two.Tap(`[data-bring="` + id + `"]`)
	two.Wait(`document.querySelector('.found a[href="/site/` + id + `/measure"]')`)
	require.Equal(t, keptDocument(one, id), keptDocument(two, id))

	// The yard dies; both go on.
	s.Kill()
	width(one, id, "4000")
	note(one, id, "the tap is behind the hedge")
	width(two, id, "3600")
	note(two, id, "ask the neighbour first")
	for _, p := range []*Page{one, two} {
		goTo(p, "/site/"+id+"/more", "#site-tally")
		p.Wait(says("#site-tally", "Not yet in the yard"))
		goTo(p, "/", "#tally")
		p.Wait(`document.querySelector("#tally").dataset.waiting === "1"`)
		require.Contains(t, p.Text("#tally"), "One site is not yet in the yard")
		p.Wait(`[...document.querySelectorAll(".site-tally")].some((e) => e.innerText === "Not yet in the yard")`)
	}
	goTo(two, "/sync", "#yard-tally")
	tryUntil(two, says(".trouble-words", "not reachable"))

	// It comes back with what it had acknowledged: the first to arrive is taken,
	// the second stands beside it.
	s.Restart(t, realBundle)
	nothingWaits(one)
	goTo(two, "/sync", "#yard-tally")
	tryUntil(two, `document.querySelector('[data-conflict="`+id+`"]')`)
	two.Tap(`[data-conflict="` + id + `"]`)
	two.Wait(`document.querySelectorAll(".twin").length === 1`)
	shown := two.Text(".twin")
	require.Contains(t, shown, "Opening")
	require.Contains(t, shown, "Before: nothing")
	require.Contains(t, two.Text(`[data-keep="here"]`), "3600")
	require.Contains(t, two.Text(`[data-keep="yard"]`), "4000")
	require.Contains(t, two.Text(`[data-keep="yard"]`), "Anna's phone")
	require.Equal(t, "true", two.Eval(`document.querySelector('[data-do="settle"]').disabled`))
	two.Tap(`[data-keep="yard"]`)
	s.Kill() // once more, while it is being settled
	two.Tap(`[data-do="settle"]`)
	two.Wait(`document.querySelector("#one-version")`)
	settled(two)
	require.Contains(t, keptDocument(two, id), `"text":"4000"`)
	s.Restart(t, realBundle)
	nothingWaits(two)
	goTo(one, "/sync", "#yard-tally")
	tryUntil(one, keptIn("documents", `store.get(`+quote(id)+`)`)+
		`.then((text) => { window.kept = text; }) && window.kept && window.kept.includes("ask the neighbour first")`)
	agreed := keptDocument(one, id)
	require.Equal(t, agreed, keptDocument(two, id))
	require.Contains(t, agreed, "the tap is behind the hedge")
	require.Contains(t, agreed, `"text":"4000"`)
	nothingWaits(one)
	// What was given up is not lost: undo on the phone that settled brings it back.
	goTo(two, "/site/"+id+"/more", `[aria-label="Undo"]`)
	two.Wait(`!document.querySelector('[aria-label="Undo"]').disabled`)
	two.Tap(`[aria-label="Undo"]`)
	settled(two)
	require.Contains(t, keptDocument(two, id), `"text":"3600"`)
	two.Tap(`[aria-label="Redo"]`)
	settled(two)
	other := keptDocument(two, id)
	require.Equal(t, agreed, strings.Replace(other, changedOf(other), changedOf(agreed), 1))
	nothingWaits(two)

	// A photo over a line that breaks in its second piece.
	goTo(one, "/site/"+id+"/photos", "#photo-choose")
	line.CutAfter(200_000)
	one.chooseFile("#photo-choose", noisyPhoto(t))
	one.Wait(`document.querySelector(".photo img") && document.querySelector(".photo img").naturalWidth > 0`)
	settled(one)
	photo := one.Eval(keptIn("photos", `store.getAllKeys()`) + `.then((keys) => keys[0])`)
	goTo(one, "/sync", "#yard-tally")
	require.Eventually(t, line.isDead, patience, patience/1000, "the line is never cut")
	one.Wait(says("#yard-tally", "photo is not yet in the yard") + " || " +
		says("#yard-tally", "one photo are not yet in the yard"))
	line.Mend()
	nothingWaits(one)
	status, _, kept := s.Get(t, "/api/v1/photos/"+photo, "")
	require.NotEqual(t, 200, status, "nobody sees it without a key: %d bytes", len(kept))
	goTo(two, "/sync", "#yard-tally")
	tryUntil(two, keptIn("photos", `store.count(`+quote(photo)+`)`)+
		`.then((n) => { window.photos = n; }) && window.photos === 1`)
	nothingWaits(two)

	// The pairing outlives the browser; stopped, nothing goes to and fro.
	second.Kill()
	second.Relaunch(t)
	two = second.Open(t, s.URL+"/sync")
	two.Wait(`document.querySelector("#paired-as")`)
	two.Tap(`[data-do="leave"]`)
	two.Tap(`[data-do="leave-now"]`)
	two.Wait(`document.querySelector("#yard-code")`)
	require.NotEmpty(t, keptDocument(two, id), "the site stays")
}

func changedOf(document string) string {
	_, rest, _ := strings.Cut(document, `"changed":"`)
	at, _, _ := strings.Cut(rest, `"`)
	return at
}

// Of two tabs one speaks to the yard; when it is closed the other takes over.
func TestTheNextTabTakesTheLineOver(t *testing.T) {
	t.Parallel()
	s := StartYard(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	old := b.NewPage(t)
	_, link := s.PairingLink(t, "crew", s.URL)
	pairByLink(old, link, "Anna's phone")
	next := b.Open(t, s.URL+"/sync")
	next.Wait(`document.querySelector("#paired-as")`)
	held := func(p *Page) string {
		return p.Eval(`navigator.locks.query().then((locks) => {
			const ours = (list) => list.filter((lock) => lock.name === "pegpour-yard").length;
			return ours(locks.held) + "/" + ours(locks.pending);
		})`)
	}
	require.Equal(t, "1/1", held(next))
	before := len(next.Requests())
	goTo(next, "/", `[data-do="new-site"]`)
	next.Tap(`[data-do="new-site"]`)
	next.Wait(`document.querySelector("#entry")`)
	next.Type("#entry", "Mill Road 3")
	settled(next)
	nothingWaits(next) // the other tab sends it
	for _, address := range next.Requests()[before:] {
		require.NotContains(t, address, "/revisions/", "this tab sends nothing")
	}
	old.Close()
	next.Wait(`navigator.locks.query().then((locks) => {
		window.waits = locks.pending.filter((lock) => lock.name === "pegpour-yard").length;
	}) && window.waits === 0`)
	goTo(next, "/", `[data-do="new-site"]`)
	next.Tap(`[data-do="new-site"]`)
	next.Wait(`document.querySelector("#entry")`)
	next.Type("#entry", "Mill Road 4")
	settled(next)
	nothingWaits(next)
	sent := 0
	for _, address := range next.Requests()[before:] {
		if strings.Contains(address, "/revisions/") {
			sent++
		}
	}
	require.NotZero(t, sent, "now this tab does")
	require.Empty(t, next.Faults())
}

// A back-up of one phone is looked into on another, where nothing is written by
// that, and restored there: both hold the same.
func TestBackUpMovesToAnotherPhone(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.NewPage(t)
	p.BeforeScripts(filesCaught)
	p.Go(s.URL + "/")
	p.WaitRunning()
	var ids []string
	for _, name := range []string{"Harbour Lane 12", "Mill Road 3", "Ferry Lane 9"} {
		goTo(p, "/", `[data-do="new-site"]`)
		p.Tap(`[data-do="new-site"]`)
		p.Wait(`document.querySelector("#entry")`)
		p.Type("#entry", name)
		settled(p)
		ids = append(ids, strings.Split(p.Eval("location.pathname"), "/")[2])
	}
	goTo(p, "/site/"+ids[0]+"/photos", "#photo-choose")
	p.chooseFile("#photo-choose", noisyPhoto(t))
	p.Wait(`document.querySelector(".photo img") && document.querySelector(".photo img").naturalWidth > 0`)
	settled(p)

	goTo(p, "/", "#nudge")
	require.Contains(t, p.Text("#nudge"), "3 sites are on this device only")
	p.Tap("#nudge a")
	p.Wait(`document.querySelector("#last-back-up")`)
	require.Contains(t, p.Text("#last-back-up"), "No back-up")
	p.Tap(`[data-do="back-up"]`)
	p.Tap(`[data-do="save-back-up"]`)
	p.Wait(says("#last-back-up", "The last one was made at"))
	p.Wait(says("#standing", "Every site"))
	settled(p)
	data := lastFile(p)
	file := filepath.Join(t.TempDir(), "phone.pegpour-backup")
	require.NoError(t, os.WriteFile(file, data, 0o644))
	goTo(p, "/", "#safe-line")
	p.Wait(says("#safe-line", "last back-up 20"))
	require.Equal(t, "0", p.Eval(`document.querySelectorAll("#nudge").length`))

	// On the same phone: all of it is here. After an edit what is here is newer.
	goTo(p, "/safe", "#restore-file")
	p.Wait(says("#standing", "Every site"))
	p.chooseFile("#restore-file", file)
	p.Wait(`document.querySelector("#nothing-new")`)
	goTo(p, "/site/"+ids[1]+"/measure?field=opening.width", `[data-entry="opening.width"]`)
	width(p, ids[1], "4100")
	newer := keptDocument(p, ids[1])
	goTo(p, "/safe", "#restore-file")
	p.Wait(says("#standing", "One site is on this device only"))
	p.chooseFile("#restore-file", file)
	p.Wait(`document.querySelector('[data-outcome="older"][data-count="1"]')`)
	require.Contains(t, p.Text(`[data-outcome="older"]`), "Mill Road 3")
	require.Equal(t, newer, keptDocument(p, ids[1]))

	// A new phone.
	other := LaunchBrowser(t).Open(t, s.URL+"/safe")
	other.Wait(`document.querySelector("#restore-file")`)
	other.chooseFile("#restore-file", file)
	other.Wait(`document.querySelector('[data-outcome="new"][data-count="3"]')`)
	report := other.Text("#restore-report")
	require.Contains(t, report, "Nothing is written yet")
	require.Contains(t, report, "Harbour Lane 12")
	require.Contains(t, report, "one photo; not here: 1")
	for _, id := range ids {
		require.Empty(t, keptDocument(other, id), "a look writes nothing")
	}
	other.Eval(`document.documentElement.style.scrollBehavior = "auto"`) // at once, not gliding
	other.Tap(`[data-do="restore"]`)
	other.Wait(`document.querySelector('#restore-report[data-done="true"]')`)
	require.Equal(t, keptDocument(p, ids[0]), keptDocument(other, ids[0]))
	require.Equal(t, keptDocument(p, ids[2]), keptDocument(other, ids[2]))
	require.NotEmpty(t, keptDocument(other, ids[1]))
	require.Equal(t, "1", other.Eval(keptIn("photos", `store.count()`)))

	// A file that was cut short says so, and still says what can be read.
	short := filepath.Join(t.TempDir(), "short.pegpour-backup")
	require.NoError(t, os.WriteFile(short, data[:len(data)-200], 0o644))
	other.chooseFile("#restore-file", short)
	other.Wait(`[...document.querySelectorAll(".error")].some((e) => e.innerText.includes("short.pegpour-backup"))`)
	require.Empty(t, other.Faults())
	require.Empty(t, p.Faults())
}
