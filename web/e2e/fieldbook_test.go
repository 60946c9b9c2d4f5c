package e2e

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/deviceorientation"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// newSite makes a site and returns its address without the screen.
func newSite(p *Page, s *Server) string {
	p.t.Helper()
	p.Tap(`[data-do="new-site"]`)
	p.Wait(`document.querySelector("#asked")`)
	settled(p)
	return s.URL + strings.TrimSuffix(p.Eval("location.pathname"), "/measure")
}

func open(p *Page, address, until string) {
	p.t.Helper()
	p.Go(address)
	p.WaitRunning()
	p.Wait("document.querySelector(" + quote(until) + ")")
}

// enter types into the entry by keyboard, as a laser does, with Enter after it.
func enter(p *Page, text string) {
	p.t.Helper()
	p.Wait(`document.activeElement && document.activeElement.id === "entry"`)
	p.do(typeKeys(text))
	p.Wait(`document.querySelector("#entry").value === ` + quote(text))
	field := p.Eval(`document.querySelector("#entry").dataset.entry`)
	p.do(typeKeys("\r"))
	// The next question is there a moment later; where there is none the same one stays.
	p.Eval(`new Promise((good) => {
		const end = performance.now() + 2000;
		const look = () => {
			const entry = document.querySelector("#entry");
			if (!entry || entry.dataset.entry !== ` + quote(field) + ` || performance.now() > end) return good("");
			requestAnimationFrame(look);
		};
		look();
	})`)
}

func setSelect(p *Page, selector, value string) {
	p.t.Helper()
	p.Wait("document.querySelector(" + quote(selector) + ")")
	p.Eval(`(() => {
		const e = document.querySelector(` + quote(selector) + `);
		e.value = ` + quote(value) + `;
		e.dispatchEvent(new Event("change", {bubbles: true}));
	})()`)
}

// A site is taped as a network: two posts, two pegs on the driveway edge; the
// opening comes from it, a misread tape is named, and all of it is kept.
func TestTapeNetwork(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.Open(t, s.URL+"/")
	site := newSite(p, s)
	open(p, site+"/network", `[data-do="two-posts"]`)
	p.Tap(`[data-do="two-posts"]`)
	enter(p, "4350")

	// C is put on the sketch by a tap, D and E by a button.
	p.Wait(`document.querySelector("#sketch svg")`)
	place := func(x, y float64) {
		at := p.spotIn("#sketch", x, y)
		p.do(chromedp.TapXY(at.X, at.Y))
	}
	p.Tap(`[data-peg="A"]`) // put down what is in hand
	place(0.55, 0.3)
	p.Wait(`document.querySelector('[data-peg="C"]')`)
	setSelect(p, `[data-do="role"]`, "runBackEdge")
	p.Tap(`[data-do="add-peg"]`)
	p.Wait(`document.querySelector('[data-peg="D"]')`)
	setSelect(p, `[data-do="role"]`, "runBackEdge")
	p.Tap(`[data-do="add-peg"]`)
	p.Wait(`document.querySelector('[data-peg="E"]')`)

	at := map[string][2]float64{"A": {0, 0}, "B": {4350, 0}, "C": {4500, 200}, "D": {4900, 1500}, "E": {600, 1400}}
	for _, pair := range []string{"AC", "AD", "AE", "BC", "BD", "BE", "CD", "CE", "DE"} {
		from, to := pair[:1], pair[1:]
		// After Enter the peg taped from is still in hand.
		const inHand = `[...document.querySelectorAll('[data-peg][aria-pressed="true"]')].map((e) => e.dataset.peg).join("")`
		p.Wait(inHand + `.length < 2`)
		if now := p.Eval(inHand); now != from {
			if now != "" {
				p.Tap(`[data-peg="` + now + `"]`)
				p.Wait(inHand + ` === ""`)
			}
			p.Tap(`[data-peg="` + from + `"]`)
			p.Wait(inHand + ` === ` + quote(from))
		}
		p.Tap(`[data-peg="` + to + `"]`)
		p.Wait(`document.querySelector("#asked").innerText.startsWith(` + quote(from+" – "+to) + `)`)
		d := math.Round(math.Hypot(at[from][0]-at[to][0], at[from][1]-at[to][1]))
		if pair == "AD" {
			d += 120 // misread
		}
		enter(p, strconv.Itoa(int(d)))
	}
	p.Wait(`document.querySelector(".suspect")`)
	require.Contains(t, p.Text(".suspect"), "A – D")
	settled(p)
	open(p, site+"/watch", `.watch-stop`)
	require.Contains(t, p.Text(".watch-stop"), "A – D is most likely wrong")

	// Taped again.
	open(p, site+"/network", `[data-peg="A"]`)
	p.Tap(`[data-peg="A"]`)
	p.Wait(`document.querySelector('[data-peg="A"]').getAttribute("aria-pressed") === "true"`)
	p.Tap(`[data-peg="D"]`)
	p.Wait(`document.querySelector("#entry")`)
	p.Wait(`document.activeElement && document.activeElement.id === "entry"`)
	p.Eval(`document.querySelector("#entry").select()`)
	enter(p, strconv.Itoa(int(math.Round(math.Hypot(4900, 1500)))))
	p.Wait(`!document.querySelector(".suspect") && document.querySelector('[data-place="C"]')`)
	p.Screenshot("network")
	settled(p)
	open(p, site+"/measure?field=opening.width", "#entry")
	require.Contains(t, p.Text("#entry-says"), "From the tape network: 4350 mm")
	require.Empty(t, p.Faults())
}

// A page of the level book: booked by keyboard, added up and closed while it is
// booked, and the change point guided.
func TestLevelRun(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.Open(t, s.URL+"/")
	site := newSite(p, s)
	open(p, site+"/level-run", `[data-do="begin"]`)
	p.Tap(`[data-do="begin"]`)
	enter(p, "1500")
	p.Tap(`[data-do="point"]`)
	enter(p, "1200")
	p.Wait(says("#asked", "along the fence"))
	enter(p, "0") // along the fence
	p.Tap(`[data-do="point"]`)
	enter(p, "1650")
	p.Wait(says("#asked", "along the fence"))
	enter(p, "4000")
	p.Tap(`[data-do="turn"]`)
	enter(p, "900")
	p.Wait(says("#asked", "along the fence"))
	enter(p, "6000")
	// The change point: the same staff place, read again.
	p.Tap(`[data-do="turn"]`)
	p.Wait(says(".question .help", "Leave the staff exactly where it is"))
	enter(p, "1800")
	p.Tap(`[data-do="close"]`)
	enter(p, "2404")
	p.Wait(says("#asked", "along the fence"))
	p.do(typeKeys("\r")) // a point that only carries the level
	p.Wait(`document.querySelector("#book-adds").className.includes("sound")`)
	p.Tap(`[data-do="known"]`)
	enter(p, "100 m")
	p.Wait(`document.querySelector("#book-closes")`)
	require.Contains(t, p.Text("#book-closes"), "Misclosure -4 mm")
	// 100000 + 1500 - 900, and half of the misclosure, shared over two set-ups.
	require.Equal(t, "100602", p.Eval(`document.querySelector(".ruled tbody tr:nth-child(4)")
		.innerText.split(/\s+/).find((w) => w.startsWith("1006"))`))
	p.TapName("Height of collimation")
	p.Wait(says(".ruled", "HPC") + " && " + says(".ruled", "10240"))
	p.Wait(`document.querySelector("#profile svg")`)
	p.Screenshot("level-run")
	settled(p)
	p.Reload()
	p.Wait(`document.querySelector("#book-closes")`)
	require.Empty(t, p.Faults())
}

// tilt feeds the phone's orientation sensor for a while.
func (p *Page) tilt(beta, noise float64, during time.Duration, until string) {
	p.t.Helper()
	end := time.Now().Add(during)
	for i := 0; time.Now().Before(end); i++ {
		p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
			held := deviceorientation.SetDeviceOrientationOverrideParams{
				Alpha: 10, Beta: beta + noise*math.Sin(float64(i)*1.7), Gamma: 0.5,
			}
			_, err := cdp.Call(ctx, target, deviceorientation.SetDeviceOrientationOverride, held)
			return err
		}))
		if i%10 == 9 && p.Eval("!!("+until+")") == "true" {
			return
		}
		time.Sleep(30 * time.Millisecond)
	}
}

// A slope is read with the phone both ways round: the error of its zero falls
// out. In the hand it is refused. An iPhone is asked for its leave from a tap.
func TestPhoneSlope(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchWholeBrowser(t)
	p := b.NewPage(t)
	p.BeforeScripts(`
		window.askedFromTap = [];
		if (window.DeviceOrientationEvent) DeviceOrientationEvent.requestPermission = async () => {
			askedFromTap.push(navigator.userActivation.isActive);
			return "granted";
		};`)
	p.Go(s.URL + "/")
	p.WaitRunning()
	site := newSite(p, s)
	open(p, site+"/slope", `[data-do="read-slope"]`)
	read := func(beta, noise float64, until string) {
		p.tilt(beta, 0.01, 100*time.Millisecond, "false")
		p.Tap(`[data-do="read-slope"]`)
		p.tilt(beta, noise, 20*time.Second, until)
		p.Wait(until)
	}
	read(2, 3, `document.querySelector("#slope-refused")`)
	require.Regexp(t, "shakes|still moving", p.Text("#slope-refused"))
	// The drive climbs 2 degrees; the phone's zero is off by 0.6.
	read(2.6, 0.02, `document.querySelector("#slope-value")`)
	require.Contains(t, p.Text("#slope-value"), "2.60°")
	read(-1.4, 0.02, says("#slope-value", "2.00°"))
	require.Contains(t, p.Text("#slope-value"), "3.49 %")
	p.Screenshot("slope")
	p.Tap(`[data-do="use-slope"]`)
	p.Wait(says("#entry-says", "3.49\u00a0%, phone"))
	require.Equal(t, "true,true,true", p.Eval("askedFromTap.join()"))
	settled(p)
	require.Empty(t, p.Faults())
}

// Without a sensor, or without leave to use it, the slope is typed.
func TestPhoneSlopeTyped(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.NewPage(t)
	p.BeforeScripts(`if (window.DeviceOrientationEvent) DeviceOrientationEvent.requestPermission = async () => "denied";`)
	p.Go(s.URL + "/")
	p.WaitRunning()
	site := newSite(p, s)
	open(p, site+"/slope", `[data-do="read-slope"]`)
	p.Tap(`[data-do="read-slope"]`)
	p.Wait(`document.querySelector("#slope-none")`)
	p.Type("#entry", "1:40")
	p.Wait(says("#entry-says", "2.5\u00a0%"))
	require.Empty(t, p.Faults())
}

// photoFile writes a photo as a phone makes it, with a place in it.
func photoFile(t testing.TB) string {
	t.Helper()
	picture := image.NewRGBA(image.Rect(0, 0, 3000, 2000))
	for y := range 2000 {
		for x := range 3000 {
			picture.SetRGBA(x, y, color.RGBA{uint8(x / 16), uint8(y / 12), 120, 255})
		}
	}
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, picture, nil))
	plain := b.Bytes()
	segment := append([]byte("Exif\x00\x00MM\x00*GPSLatitude 51.5 GPSLongitude 0.1 "), make([]byte, 40)...)
	size := len(segment) + 2
	with := append([]byte{0xff, 0xd8, 0xff, 0xe1, byte(size >> 8), byte(size)}, segment...)
	with = append(with, plain[2:]...)
	name := filepath.Join(t.TempDir(), "IMG_0001.jpg")
	require.NoError(t, os.WriteFile(name, with, 0o644))
	return name
}

// chooseFile gives an input a file, as the camera does when the picture is taken.
func (p *Page) chooseFile(selector, file string) {
	p.t.Helper()
	p.Wait("document.querySelector(" + quote(selector) + ")")
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		find := runtime.EvaluateParams{Expression: "document.querySelector(" + quote(selector) + ")"}
		found, err := cdp.Call(ctx, target, runtime.Evaluate, find)
		if err != nil {
			return err
		}
		choice := dom.SetFileInputFilesParams{Files: []string{file}, ObjectID: found.Result.ObjectID}
		_, err = cdp.Call(ctx, target, dom.SetFileInputFiles, choice)
		return err
	}))
}

// A photo is taken, made smaller, rid of its place, pinned to the plan; the plan
// is drawn on it by five places pointed at, and saved.
func TestPhotoOverlay(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.NewPage(t)
	p.BeforeScripts(filesCaught)
	p.Go(s.URL + "/")
	p.WaitRunning()
	p.Wait(`document.querySelectorAll(".site-link").length >= 4`)
	const site = "/site/00000000-0000-4000-8000-000000000002" // the angled drive
	open(p, s.URL+site+"/photos", "#photo-take")
	require.Equal(t, "environment", p.Eval(`document.querySelector("#photo-take").getAttribute("capture")`))
	p.chooseFile("#photo-take", photoFile(t))
	p.Wait(`(() => {
		const photo = document.querySelector(".photo img");
		return photo && photo.naturalWidth === 2048 && photo.naturalHeight === 1365;
	})()`)
	require.Equal(t, "image/jpeg false", p.Eval(`(async () => {
		const kept = blobs.find((b) => b.type === "image/jpeg");
		return kept.type + " " + /Exif|GPS/.test(await kept.text());
	})()`), "what the file said of its place")
	p.Tap("#pins")
	p.Wait(says(".told", "Pinned"))
	settled(p)
	t.Run("photos for everyone", func(t *testing.T) { p.t = t; forEveryone(t, p); asUsual(p) })
	p.t = t

	p.Tap(`[data-do="overlay"]`)
	p.Wait(`document.querySelector("#overlay-photo") && document.querySelector("#overlay-photo").naturalWidth === 2048`)
	p.Wait(`document.querySelector(".overlay-lines svg")`)
	// Where a camera would see the places: a perspective of our own, in shares of
	// the picture's width and height.
	see := func(x, y float64) (float64, float64) {
		w := 1 + y*0.00022
		return (0.85 - x*0.00008) / w, (0.9 - y*0.0001 - x*0.000012) / w
	}
	p.Eval(`document.documentElement.style.scrollBehavior = "auto"`) // at once, not gliding
	pointed := 0
	type place struct {
		id   string
		x, y float64
	}
	places := []place{
		{"post.latch.in", 0, 0}, {"post.runBack.in", 4350, 0}, {"taped.runBackEdge.points.1", 4925, 1400},
		{"thing.0.0", 7450, 850}, {"thing.0.2", 7750, 1150},
	}
	for _, q := range places {
		p.Eval(`document.querySelector('[data-place="` + q.id + `"]').scrollIntoView({block: "center"})`)
		p.Tap(`[data-place="` + q.id + `"]`)
		p.Wait(`document.querySelector('[data-place="` + q.id + `"]').getAttribute("aria-pressed") === "true"`)
		p.Eval(`document.querySelector("#overlay").scrollIntoView({block: "center"})`)
		u, v := see(q.x, q.y)
		at := p.spotIn("#overlay-photo", u, v)
		p.do(chromedp.TapXY(at.X, at.Y))
		pointed++
		p.Wait(`document.querySelectorAll(".spot").length === ` + strconv.Itoa(pointed))
	}
	p.Wait(`document.querySelector("#overlay-says")`)
	require.Contains(t, p.Text("#overlay-says"), "miss their places by")
	p.Wait(`[".over-concrete", ".over-track", ".over-leaf"].every((part) => document.querySelector(part))`)
	p.Screenshot("overlay")
	t.Run("overlay for everyone", func(t *testing.T) { p.t = t; forEveryone(t, p); asUsual(p) })
	p.t = t
	p.Wait(`getComputedStyle(document.body).fontSize === "16px"`)

	// The spot in hand moves by a pixel at a tap of a button.
	before := p.Eval(`document.querySelector(".spot-here circle").getAttribute("cx")`)
	p.TapName("Spot right")
	p.Wait(`document.querySelector(".spot-here circle").getAttribute("cx") !== ` + quote(before))
	settled(p)
	p.Eval(`(window.saved = "", HTMLAnchorElement.prototype.click = function () { window.saved = this.download; }, "")`)
	p.Tap(`[data-do="save-picture"]`)
	p.Wait(`window.saved.endsWith("-photo.png")`)
	p.Reload()
	p.Wait(`document.querySelectorAll(".spot").length === ` + strconv.Itoa(len(places)))
	require.Empty(t, p.Faults())
}

// At the first visit, when no peg stands, the feet and tops of the two posts and
// one chalk mark bring the plan onto the photo; posts in a line are explained.
func TestPhotoByPostTops(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.NewPage(t)
	p.BeforeScripts(spacesKept)
	p.Go(s.URL + "/")
	p.Wait(`document.querySelectorAll(".site-link").length >= 4`)
	open(p, s.URL+"/site/00000000-0000-4000-8000-000000000002/photos", "#photo-take")
	p.chooseFile("#photo-take", photoFile(t))
	p.Wait(`document.querySelector(".photo img") && document.querySelector(".photo img").naturalWidth > 0`)
	p.Tap(`[data-do="overlay"]`)
	p.Wait(`document.querySelector("#overlay-photo") && document.querySelector("#overlay-photo").naturalWidth === 2048`)
	p.Wait(`document.querySelector(".overlay-lines svg")`)
	p.Eval(`document.documentElement.style.scrollBehavior = "auto"`) // at once, not gliding
	pointed := 0
	// A camera 7 m inside and 1.6 m up that looks level at the street, where a gate
	// that runs to the left has X to the right: shares of the picture's width and height.
	point := func(x, y, z float64) {
		p.Eval(`document.querySelector("#overlay").scrollIntoView({block: "center"})`)
		const focal, middle = 1231.0, 2175.0
		at := p.spotIn("#overlay-photo", 0.5+focal*(x-middle)/(7000-y)/2048, 0.5+focal*(1600-z)/(7000-y)/1365)
		p.do(chromedp.TapXY(at.X, at.Y))
		pointed++
		p.Wait(`document.querySelectorAll(".spot").length === ` + strconv.Itoa(pointed))
	}
	take := func(id string) {
		p.Wait(`document.querySelector('[data-place="` + id + `"]')`)
		p.Eval(`document.querySelector('[data-place="` + id + `"]').scrollIntoView({block: "center"})`)
		p.Tap(`[data-place="` + id + `"]`)
		p.Wait(`document.querySelector('[data-place="` + id + `"]').getAttribute("aria-pressed") === "true"`)
	}
	for _, q := range []struct {
		id string
		x  float64
	}{{"post.latch.in", 0}, {"post.runBack.in", 4350}, {"post.latch.far", -100}, {"post.runBack.far", 4450}} {
		take(q.id)
		point(q.x, 0, 0)
	}
	p.Wait(says("#overlay-says", "mark the tops of two of them"))
	for _, id := range []string{"post.latch.far", "post.runBack.far"} {
		take(id)
		p.TapName("Take the spot away")
		pointed--
		p.Wait(`document.querySelectorAll(".spot").length === ` + strconv.Itoa(pointed))
	}
	p.Tap(`[data-do="to-tops"]`)
	p.Wait(`(() => { const box = document.querySelector("#top-place").getBoundingClientRect(); return box.top > 0 && box.bottom < innerHeight; })()`)
	for i, id := range []string{"top.post.latch.in", "top.post.runBack.in"} {
		setSelect(p, "#top-place", id)
		if i == 0 {
			p.Type("#top-height", "1.4 m")
		}
		require.Contains(t, []string{"1.4 m", "1400"}, p.Eval(`document.querySelector("#top-height").value`))
		p.Tap(`[data-do="top-mark"]`)
		p.Wait(`document.querySelector('[data-place="` + id + `"]').getAttribute("aria-pressed") === "true"`)
		point(float64(i)*4350, 0, 1400)
	}
	p.Wait(says("#overlay-says", "Four spots always fit"))
	p.Eval(`document.querySelector("#overlay").scrollIntoView({block: "start"})`)
	p.Screenshot("overlay-tops-four")
	p.Wait(`[".over-concrete", ".over-track", ".over-leaf"].every((part) => document.querySelector(part))`)
	p.Eval(fill("#own-along", "1500"))
	p.Eval(fill("#own-out", "2500"))
	p.Tap(`[data-do="own-mark"]`)
	p.Wait(`document.querySelector('[data-place="own.1"]')`)
	point(1500, 2500, 0)
	p.Wait(says("#overlay-says", "miss their places by"))
	require.NotContains(t, p.Text("#overlay-says"), "Look again")
	gateOnPhoto(t, p)
	take("top.post.latch.in")
	p.Wait(`document.querySelectorAll(".spot-height").length === 1`)
	require.Equal(t, "↑ 1400 mm", strings.ReplaceAll(p.Text(".spot-height"), "\u00a0", " "))
	p.Eval(`document.querySelector("#overlay").scrollIntoView({block: "center"})`)
	p.Screenshot("overlay-tops")
	p.Eval(`document.querySelector("#top-place").scrollIntoView({block: "center"})`)
	p.Screenshot("overlay-tops-entry")
	t.Run("tops for everyone", func(t *testing.T) { p.t = t; forEveryone(t, p); asUsual(p) })
	p.t = t
	settled(p)
	p.Reload()
	p.Wait(`document.querySelectorAll(".spot").length === 5`)
	p.Wait(says("#overlay-says", "miss their places by"))
	require.Empty(t, p.Faults())
}

// photoWithGate opens a photo on which five places are marked already, and the gate stands.
func photoWithGate(t testing.TB, p *Page, server string) {
	t.Helper()
	p.Go(server + "/")
	p.Wait(`document.querySelectorAll(".site-link").length >= 4`)
	p.Go(server + angledSite + "/photos")
	p.Wait(`document.querySelector("#photo-take")`)
	p.chooseFile("#photo-take", photoFile(t))
	p.Wait(`document.querySelector(".photo img") && document.querySelector(".photo img").naturalWidth > 0`)
	p.Tap(`[data-do="overlay"]`)
	p.Wait(`document.querySelector("#overlay-photo") && document.querySelector("#overlay-photo").naturalWidth === 2048`)
	p.Wait(`document.querySelector(".overlay-lines svg")`)
	p.Eval(`document.documentElement.style.scrollBehavior = "auto"`)
	// The camera of TestPhotoByPostTops.
	pointed := 0
	point := func(id string, x, y, z float64) {
		p.Wait(`document.querySelector('[data-place="` + id + `"]')`)
		p.Eval(`document.querySelector('[data-place="` + id + `"]').scrollIntoView({block: "center"})`)
		p.Tap(`[data-place="` + id + `"]`)
		p.Wait(`document.querySelector('[data-place="` + id + `"]').getAttribute("aria-pressed") === "true"`)
		p.Eval(`document.querySelector("#overlay").scrollIntoView({block: "center"})`)
		at := p.spotIn("#overlay-photo", 0.5+1231*(x-2175)/(7000-y)/2048, 0.5+1231*(1600-z)/(7000-y)/1365)
		p.do(chromedp.TapXY(at.X, at.Y))
		pointed++
		p.Wait(`document.querySelectorAll(".spot").length === ` + strconv.Itoa(pointed))
	}
	point("post.latch.in", 0, 0, 0)
	point("post.runBack.in", 4350, 0, 0)
	for i, id := range []string{"top.post.latch.in", "top.post.runBack.in"} {
		p.Eval(`document.querySelector("#top-place").scrollIntoView({block: "center"})`)
		setSelect(p, "#top-place", id)
		if i == 0 {
			p.Type("#top-height", "1.4 m")
		}
		p.Tap(`[data-do="top-mark"]`)
		point(id, float64(i)*4350, 0, 1400)
	}
	p.Wait(`document.querySelector("#overlay-gate canvas") && seen() && document.querySelector(".photo-gate #gate-slider")`)
}

// gateOnPhoto looks at the gate that stands on the photo of TestPhotoByPostTops, and slides it.
func gateOnPhoto(t *testing.T, p *Page) {
	t.Helper()
	p.Wait(`document.querySelector("#overlay-gate canvas") && seen() && document.querySelector(".photo-gate #gate-slider")`)
	p.Wait(says(".photo-gate", "Only its own posts hide the gate"))
	// Where the camera of that test sees a place: is the gate painted there? Seen from inside, the
	// posts of the fence stand behind the leaf.
	paints := func(x, y, z float64) bool {
		const focal, middle = 1231.0, 2175.0
		u, v := 0.5+focal*(x-middle)/(7000-y)/2048, 0.5+focal*(1600-z)/(7000-y)/1365
		return p.Eval(fmt.Sprintf(`(() => {
			const wide = 2048, [high, ...all] = shot(wide);
			const hits = (x, y) => all[4 * (Math.round(y) * wide + Math.round(x)) + 3] > 0;
			let any = false; // between two battens there is nothing
			for (let d = -40; d <= 40; d += 4) any ||= hits(%v * wide, %v * high + d);
			return String(any);
		})()`, u, v)) == "true"
	}
	require.True(t, paints(2000, 100, 1000), "shut, the leaf stands in the opening")
	require.False(t, paints(2000, 100, 3500), "and not above itself")
	p.Eval(`document.querySelector(".photo-gate").scrollIntoView({block: "center"})`)
	p.Screenshot("overlay-gate")
	p.Tap(`.photo-gate [data-view="open"]`)
	p.Wait(`seen().open === 1 && document.querySelector("#gate-slider").value === "100"`)
	require.False(t, paints(2000, 100, 1000), "open, it does not")
	require.True(t, paints(6000, 100, 1000), "but behind the post")
	require.Contains(t, p.Text("#overlay-says"), "miss their places by", "the error stays")
	p.Tap(`.photo-gate [data-view="shut"]`)
	p.Wait(`seen().open === 0`)
	settled(p)
}

// A laser that types each value with Enter after it goes through the numbers of
// a site without a hand on the phone.
func TestLaserGoesOnByItself(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.Open(t, s.URL+"/")
	site := newSite(p, s)
	open(p, site+"/measure?field=drive.latchEdge.along", "#entry")
	p.Eval(`document.querySelector("#entry").focus()`)
	for _, burst := range []string{"0.021 m\r", "5.612 m\r", "1.405 m\r"} {
		asked := p.Text("#asked")
		p.do(typeKeys(burst))
		p.Wait(`document.querySelector("#asked").innerText !== ` + quote(asked))
	}
	settled(p)
	open(p, site+"/figures", ".figure-link")
	for _, want := range []string{"21 mm", "5612 mm", "1405 mm"} {
		require.Contains(t, p.Text("main"), want)
	}
	require.Empty(t, p.Faults())
}

// Feet and inches from the keypad to the drawing.
func TestFeetAndInches(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.Open(t, s.URL+"/")
	open(p, s.URL+"/settings", "select")
	setSelect(p, `select:has(option[value="feet"])`, "feet")
	settled(p)
	open(p, s.URL+"/", `[data-do="new-site"]`)
	site := newSite(p, s)
	open(p, site+"/measure?field=opening.width", "#entry")
	for _, k := range []string{"1", "3", "ft", "1", "in", "1", "/", "2"} {
		p.Tap(`[data-key="` + k + `"]`)
	}
	p.Wait(`document.querySelector("#entry").value.trim() === "13' 1\" 1/2"`)
	p.Wait(`document.querySelector("#entry-says").innerText.replaceAll("\u00a0", " ").startsWith("Read as 13' 1 1/2\"")`)
	p.Wait(`document.querySelector("#drawing-small svg").textContent.includes("13' 1 1/2\"")`)
	settled(p)
	open(p, site+"/set-out", "#drawing-large svg")
	require.Contains(t, p.Eval(`document.querySelector("#drawing-large svg").textContent`), `13' 1 1/2"`)
	require.Empty(t, p.Faults())
}
