package e2e

import (
	"bytes"
	"compress/zlib"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"image/png"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"rsc.io/qr"

	"pegpour/app/passing"
	"pegpour/engine/enginetest"
	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/row"
)

const pictureTime = 80 * time.Millisecond // as the quick row shows them

// collect begins to keep every picture that the page shows in a row, as PNG.
const collect = `(() => {
	window.shown = [];
	new MutationObserver((all) => {
		const canvas = all[0].target;
		if (canvas.id === "row-picture") shown.push(canvas.toDataURL());
	}).observe(document, {subtree: true, attributes: true, attributeFilter: ["data-number"]});
})()`

// rowShown are the pictures that a screen shows in a row, so many at least.
func rowShown(t testing.TB, p *Page, least int) []*shot {
	t.Helper()
	p.Eval(collect)
	p.Tap("[data-do=start-row]")
	p.Wait("shown.length >= " + strconv.Itoa(least))
	p.Tap("[data-do=stop-row]")
	p.Wait(`!document.querySelector("#row-picture")`)
	var urls []string
	require.NoError(t, json.Unmarshal([]byte(p.Eval("JSON.stringify(shown)")), &urls))
	var shots []*shot
	for _, url := range urls {
		shots = append(shots, shotOf(t, url))
	}
	return shots
}

// shotOf reads squares off a picture of a pixel for each.
func shotOf(t testing.TB, dataURL string) *shot {
	t.Helper()
	_, text, found := strings.Cut(dataURL, "base64,")
	require.True(t, found, dataURL)
	raw, err := base64.StdEncoding.DecodeString(text)
	require.NoError(t, err)
	picture, err := png.Decode(bytes.NewReader(raw))
	require.NoError(t, err)
	side := picture.Bounds().Dx()
	s := &shot{side, make([]bool, side*side)}
	for y := range side {
		for x := range side {
			r, _, _, _ := picture.At(x, y).RGBA()
			s.squares[y*side+x] = r < 0x8000
		}
	}
	return s
}

// othersCode is a code of another program.
func othersCode(t testing.TB, text string) *shot {
	t.Helper()
	code, err := qr.Encode(text, qr.L)
	require.NoError(t, err)
	side := code.Size + 8
	s := &shot{side, make([]bool, side*side)}
	for y := range side {
		for x := range side {
			s.squares[y*side+x] = code.Black(x-4, y-4)
		}
	}
	return s
}

// lossy is a row of which three pictures of ten are lost: under a hand, or because another
// program's code came between. Some come twice.
func lossy(t testing.TB, row []*shot, seed uint64) []*shot {
	numbers := rand.New(rand.NewPCG(seed, 5))
	other := othersCode(t, "https://example.com/another-program")
	var shots []*shot
	for i, s := range row {
		switch chance := numbers.Float64(); {
		case chance < 0.25:
			shots = append(shots, nil)
		case chance < 0.3:
			shots = append(shots, other)
		case chance < 0.35:
			shots = append(shots, s, s)
		default:
			shots = append(shots, row[i])
		}
	}
	return shots
}

// withFilm starts a browser whose camera is a film.
func withFilm(t testing.TB, film string) *Browser {
	t.Helper()
	return launchBrowserOn(t, scratch(t), false, "--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream",
		"--use-file-for-fake-video-capture="+film)
}

// jobFile is a back-up with a site of so many edits, and of a photo of so many bytes.
func jobFile(t testing.TB, store storage.Store, edits, photo int) (id, file string) {
	t.Helper()
	d := storage.NewDocument("2026-05-04T08:00:00.000Z")
	d.Survey = enginetest.RisingSite(200, 0.02)
	d.Survey.Site.Name = "Mill Road 3"
	if photo > 0 {
		bytes := make([]byte, photo)
		numbers := rand.New(rand.NewPCG(9, 9))
		for i := range bytes {
			bytes[i] = byte(numbers.Uint32())
		}
		id, err := store.PutPhoto(t.Context(), "image/jpeg", bytes)
		require.NoError(t, err)
		d.Photos = []storage.Photo{{ID: id, Type: "image/jpeg"}}
	}
	loaded, err := store.Create(t.Context(), d)
	require.NoError(t, err)
	paths := []string{survey.OpeningWidth, survey.RunBackRoom, survey.GroundLevelsAlong, survey.GroundLevelsOut}
	for n := range edits {
		path, value := paths[n%len(paths)], survey.Measured(4000+float64(n*37%900), survey.ByTape)
		if n%len(paths) > 1 {
			value = survey.Measured(float64(n*37%90)/1000, survey.ByPhone)
		}
		e, err := storage.SetValue(loaded.Document, path, value)
		require.NoError(t, err)
		loaded, err = store.Commit(t.Context(), d.ID, e, loaded.Revision)
		require.NoError(t, err)
	}
	return d.ID, written(t, store)
}

// written is a back-up of a device as a file.
func written(t testing.TB, store storage.Store) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "phone.pegpour-backup")
	out, err := os.Create(file)
	require.NoError(t, err)
	require.NoError(t, store.BackUp(t.Context(), out))
	require.NoError(t, out.Close())
	return file
}

// restored restores a back-up on a phone.
func restored(p *Page, file string) {
	p.t.Helper()
	goTo(p, "/safe", "#restore-file")
	p.Wait(`document.querySelector("#standing")`)
	p.chooseFile("#restore-file", file)
	p.Tap("[data-do=restore]")
	p.Wait(`document.querySelector("#restore-report[data-done=true]")`)
}

// blocksTold is how many pictures a row takes at least, as the taking phone says.
func blocksTold(t testing.TB, p *Page) int {
	t.Helper()
	p.Wait(`(document.querySelector("#take-count") || {dataset: {}}).dataset.blocks > 0`)
	n, err := strconv.Atoi(p.Eval(`document.querySelector("#take-count").dataset.blocks`))
	require.NoError(t, err)
	return n
}

// A site that one phone shows comes to another through its camera with its history, though
// three pictures of ten are lost, others come twice, and another program's codes between;
// without signal, and to the last byte. Handed on, a later state takes its place there.
func TestASiteGoesFromPhoneToPhone(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	store := storage.NewMemory()
	id, file := jobFile(t, store, 300, 0)
	from := LaunchBrowser(t).Open(t, s.URL+"/")
	restored(from, file)
	goTo(from, "/site/"+id+"/show", "[data-do=start-row]")
	row := rowShown(t, from, 36)
	film := filepath.Join(t.TempDir(), "row.mjpeg")
	screening{lossy(t, row, 1), pictureTime}.film(t, film)

	to := withFilm(t, film).Keeping().Open(t, s.URL+"/take")
	to.WaitKept()
	s.Kill()
	require.NotContains(t, strings.Join(to.Requests(), " "), "/a/zxing", "no start loads what reads codes")
	to.Tap("[data-do=open-camera]")
	to.Wait(`document.querySelector("#take-whole")`)
	t.Log(to.Text("#take-whole"))
	to.Wait(`document.querySelector('[data-outcome="new"][data-count="1"]')`)
	require.Contains(t, to.Text("#restore-report"), "Nothing is written yet")
	to.Tap("[data-do=restore]")
	to.Wait(`document.querySelector("#restore-report[data-done=true]")`)
	to.TapName("Open the site")
	to.Wait(`location.pathname.endsWith("/more") && ` + says(".title", "Mill Road 3"))
	require.Equal(t, keptDocument(from, id), keptDocument(to, id))

	// The history came too: what the other phone would show now is the same.
	goTo(to, "/site/"+id+"/show", "[data-do=start-row]")
	again := rowShown(t, to, 3)
	for i := range 3 {
		require.Equal(t, row[i].squares, again[i].squares)
	}
	require.Empty(t, to.Faults())
	require.Empty(t, from.Faults())
}

// A row that ends at nine tenths says how far it came and leaves what is here as it was.
// When it is shown again, what had come counts.
func TestARowThatIsCutOff(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	store := storage.NewMemory()
	id, earlier := jobFile(t, store, 10, 0)
	loaded, err := store.Load(t.Context(), id)
	require.NoError(t, err)
	for n := range 200 {
		e, err := storage.SetValue(loaded.Document, survey.RunBackRoom, survey.Measured(5000+float64(n*37%900), survey.ByTape))
		require.NoError(t, err)
		loaded, err = store.Commit(t.Context(), id, e, loaded.Revision)
		require.NoError(t, err)
	}
	from := LaunchBrowser(t).Open(t, s.URL+"/")
	restored(from, written(t, store))
	goTo(from, "/site/"+id+"/show", "[data-do=start-row]")
	from.Eval(`(() => { const how = document.querySelector("#row-manner"); how.value = "1"; how.dispatchEvent(new Event("change")); })()`)
	row := rowShown(t, from, 50)
	film := filepath.Join(t.TempDir(), "row.mjpeg")
	screening{row[:3], pictureTime}.film(t, film)

	to := withFilm(t, film).Open(t, s.URL+"/")
	restored(to, earlier)
	was := keptDocument(to, id)
	goTo(to, "/take", "[data-do=open-camera]")
	to.Tap("[data-do=open-camera]")
	blocks := blocksTold(t, to)
	require.Greater(t, blocks, 9)
	to.Tap("[data-do=stop-taking]")

	cut := blocks * 9 / 10
	screening{row[:cut], pictureTime}.film(t, film)
	to.Tap("[data-do=open-camera]")
	to.Wait(`(document.querySelector("#take-count") || {dataset: {}}).dataset.known === "` + strconv.Itoa(cut) + `"`)
	to.Wait(says("#take-says", "Nothing new comes"))
	to.Tap("[data-do=stop-taking]")
	to.Wait(says("#take-stopped", "Stopped when "+strconv.Itoa(cut)+" of "+strconv.Itoa(blocks)+" pictures had come"))
	require.Equal(t, was, keptDocument(to, id))

	screening{row[blocks:], pictureTime}.film(t, film)
	to.Tap("[data-do=open-camera]")
	to.Wait(`document.querySelector("#take-whole")`)
	to.Wait(`document.querySelector('[data-outcome="newer"][data-count="1"]')`)
	to.Tap("[data-do=restore]")
	to.Wait(`document.querySelector("#restore-report[data-done=true]")`)
	require.Equal(t, keptDocument(from, id), keptDocument(to, id))
	require.Empty(t, to.Faults())
}

// A film of another program's codes, and a device without a camera, are told in words.
func TestWhatIsNoRowIsSaid(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	film := filepath.Join(t.TempDir(), "others.mjpeg")
	screening{[]*shot{othersCode(t, "https://example.com/"), othersCode(t, strings.Repeat("another ", 30))},
		200 * time.Millisecond}.film(t, film)
	p := withFilm(t, film).Open(t, s.URL+"/take")
	p.Tap("[data-do=open-camera]")
	p.Wait(says("#take-says", "none of Pegpour's row"))
	p.Tap("[data-do=stop-taking]")
	p.Wait(`!document.querySelector("#take-video")`)
	require.Equal(t, "false", p.Eval(`String(!!document.querySelector("#take-stopped"))`), "nothing of a row had come")

	q := LaunchBrowser(t).Open(t, s.URL+"/take")
	q.Tap("[data-do=open-camera]")
	q.Wait(says("main .error", "There is another way"))
	require.Empty(t, p.Faults())
}

// Who asks for less motion begins with fewer than three pictures a second.
func TestWhoAsksForLessMotionIsShownFewPictures(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).NewPage(t)
	media(p, "prefers-reduced-motion", "reduce")
	p.Go(s.URL + "/show")
	p.WaitRunning()
	p.Wait(`document.querySelector("#row-manner") && document.querySelector("#row-manner").value === "2"`)
	p.Tap("[data-do=start-row]")
	p.Wait(`document.querySelector("#row-picture") && document.querySelector("#row-picture").dataset.number`)
	changes, err := strconv.Atoi(p.Eval(`new Promise((done) => {
		let changes = 0;
		new MutationObserver((all) => { changes += all.length; }).observe(document.querySelector("#row-picture"), {attributes: true});
		setTimeout(() => done(changes), 2000);
	})`))
	require.NoError(t, err)
	require.Positive(t, changes)
	require.LessOrEqual(t, changes, 6, "in two seconds")
	require.Equal(t, "stop-row", p.Eval(`document.activeElement.id`))
}

// The shop's rules go the same way; where both phones set the same, the one who takes
// chooses.
func TestTheShopsRulesGoFromPhoneToPhone(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	shop := func(rules map[string]float64) string {
		store := storage.NewMemory()
		for key, value := range rules {
			l, err := store.Shop(t.Context())
			require.NoError(t, err)
			e, err := storage.SetShopRule(l.Shop, key, value, "")
			require.NoError(t, err)
			_, err = store.CommitShop(t.Context(), e)
			require.NoError(t, err)
		}
		return written(t, store)
	}
	from := LaunchBrowser(t).Open(t, s.URL+"/")
	restored(from, shop(map[string]float64{"strip.width": 220, "pad.along": 450}))
	goTo(from, "/rules", ".rule")
	from.TapName("Show these rules to another phone")
	row := rowShown(t, from, 4)
	film := filepath.Join(t.TempDir(), "row.mjpeg")
	screening{row, pictureTime}.film(t, film)

	to := withFilm(t, film).Open(t, s.URL+"/")
	restored(to, shop(map[string]float64{"strip.width": 230}))
	goTo(to, "/", "[data-list=here]")
	to.TapName("Take from another phone")
	to.Tap("[data-do=open-camera]")
	to.Tap(`[data-rules="file"]`)
	to.Tap("[data-do=restore]")
	to.TapName("To the shop's rules")
	to.Wait(`document.getElementById("rule-strip.width") && document.getElementById("rule-strip.width").value === "220"`)
	require.Equal(t, "450", to.Eval(`document.getElementById("rule-pad.along").value`))
	require.Empty(t, to.Faults())
}

// readIn is an expression that has the page's reader read pictures, and gives the bytes of
// each that it read, in hexadecimal, with lines between.
func readIn(jpegs [][]byte) string {
	var texts []string
	for _, b := range jpegs {
		texts = append(texts, base64.StdEncoding.EncodeToString(b))
	}
	list, _ := json.Marshal(texts) // of texts: cannot fail
	return `(async () => {
		const worker = new Worker(document.documentElement.dataset.reader), read = [];
		for (const text of ` + string(list) + `) {
			const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
			const picture = await createImageBitmap(new Blob([bytes], {type: "image/jpeg"}));
			const answer = await new Promise((done) => {
				worker.onmessage = (event) => done(event.data);
				worker.onerror = (event) => done({error: event.message});
				worker.postMessage({picture}, [picture]);
			});
			if (answer.error) throw new Error(answer.error);
			for (const code of answer.codes) read.push(Array.from(code, (b) => b.toString(16).padStart(2, "0")).join(""));
		}
		worker.terminate();
		return read.join("\n");
	})()`
}

// The reader reads the camera's pictures in the other engines too, which take no film for
// their camera: enough of them for the whole, of which three of ten are lost.
func TestTheRowIsReadInOtherEngines(t *testing.T) {
	for name, launch := range map[string]func(testing.TB) *Driven{
		"Firefox": func(t testing.TB) *Driven { return LaunchFirefox(t, "") }, "WebKit": LaunchWebKit,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := StartServer(t, requireServer(t), realBundle)
			store := storage.NewMemory()
			id, _ := jobFile(t, store, 60, 0)
			shots, content := rowMade(t, store, id)
			film := screening{lossy(t, shots, 2), pictureTime}
			var jpegs [][]byte
			for n := range len(film.shots) {
				jpegs = append(jpegs, film.frame(int(time.Duration(n)*pictureTime*filmRate/time.Second)+1))
			}
			d := launch(t)
			d.Go(s.URL + "/take")
			d.Wait(`document.querySelector("[data-do=open-camera]")`)
			var whole *row.Gathering
			for at := 0; at < len(jpegs) && (whole == nil || !whole.Done()); at += 8 {
				for line := range strings.Lines(d.Eval(readIn(jpegs[at:min(at+8, len(jpegs))]))) {
					b, err := hex.DecodeString(strings.TrimSpace(line))
					require.NoError(t, err)
					p, err := row.Read(b)
					if err != nil {
						require.ErrorIs(t, err, row.ErrForeign)
						continue
					}
					if whole == nil {
						whole = row.NewGathering(p.Content)
					}
					whole.Add(p)
				}
			}
			require.NotNil(t, whole, "not one was read")
			require.True(t, whole.Done(), "%d of %d were read", whole.Known, whole.Blocks)
			got, err := whole.Whole()
			require.NoError(t, err)
			require.Equal(t, content, got)
		})
	}
}

// rowMade are the pictures of a site with its photos as the show screen makes them, and the
// content that they carry.
func rowMade(t testing.TB, store storage.Store, id string) ([]*shot, []byte) {
	t.Helper()
	var content bytes.Buffer
	packed := zlib.NewWriter(&content)
	require.NoError(t, store.BackUpSite(t.Context(), packed, id, true))
	require.NoError(t, packed.Close())
	squares, err := passing.NewSquares(30)
	require.NoError(t, err)
	r, err := row.New(content.Bytes(), squares.Room())
	require.NoError(t, err)
	pixels := make([]byte, 4*squares.Side*squares.Side)
	var shots []*shot
	for n := range uint32(r.Blocks*8/5 + 20) {
		require.NoError(t, squares.Draw(r.Picture(n), pixels))
		s := &shot{squares.Side, make([]bool, squares.Side*squares.Side)}
		for i := range s.squares {
			s.squares[i] = pixels[4*i] == 0
		}
		shots = append(shots, s)
	}
	return shots, content.Bytes()
}
