package e2e

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// locatedPhoto writes a photo that says where and when it was taken: 33° 51′ S,
// 151° 12′ E, on 1 May 2026 at 10:20:30.
func locatedPhoto(t *testing.T) string {
	t.Helper()
	order := binary.BigEndian
	tiff := []byte("MM\x00*\x00\x00\x00\x08")
	line := func(tag, kind uint16, count, value uint32) {
		tiff = order.AppendUint16(order.AppendUint16(tiff, tag), kind)
		tiff = order.AppendUint32(order.AppendUint32(tiff, count), value)
	}
	const picture, place, values = 8 + 2 + 24 + 4, 38 + 2 + 12 + 4, 56 + 2 + 48 + 4
	tiff = order.AppendUint16(tiff, 2)
	line(0x8769, 4, 1, picture)
	line(0x8825, 4, 1, place)
	tiff = order.AppendUint16(append(tiff, 0, 0, 0, 0), 1)
	line(0x9003, 2, 20, values)
	tiff = order.AppendUint16(append(tiff, 0, 0, 0, 0), 4)
	line(1, 2, 2, 'S'<<24)
	line(2, 5, 3, values+20)
	line(3, 2, 2, 'E'<<24)
	line(4, 5, 3, values+44)
	tiff = append(append(tiff, 0, 0, 0, 0), "2026:05:01 10:20:30\x00"...)
	for _, v := range []uint32{33, 1, 51, 1, 0, 1, 151, 1, 12, 1, 0, 1} {
		tiff = order.AppendUint32(tiff, v)
	}
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 1200, 800)), nil))
	segment := append([]byte("Exif\x00\x00"), tiff...)
	file := append([]byte{0xff, 0xd8, 0xff, 0xe1, 0, byte(len(segment) + 2)}, segment...)
	name := filepath.Join(t.TempDir(), "IMG_0002.jpg")
	require.NoError(t, os.WriteFile(name, append(file, b.Bytes()[2:]...), 0o644))
	return name
}

// Place and time of a photo are dropped until they are asked for; then they stand
// beside the photo and in the survey's file, never in the picture's bytes nor in
// what the owner gets, and can be taken away again.
func TestPhotoOrigin(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).NewPage(t)
	p.BeforeScripts(shareCaught + filesCaught)
	p.Go(s.URL + "/")
	p.WaitRunning()
	p.Wait(`document.querySelectorAll(".site-link").length >= 4`)
	open(p, s.URL+angledSite+"/photos", "#keep-origin")
	require.Equal(t, "false", p.Eval(`document.querySelector("#keep-origin").checked`))
	file := locatedPhoto(t)
	p.chooseFile("#photo-choose", file)
	p.Wait(`document.querySelector(".photo img") && document.querySelector(".photo img").naturalWidth > 0`)
	require.Equal(t, "false", p.Eval(`!!document.querySelector("#photo-origin")`), "it was not asked for")
	p.TapName("Remove this photo")
	p.Wait(`!document.querySelector(".photo")`)

	p.Tap("#keep-origin")
	p.Wait(says("#origin-says", "never into the owner's page"))
	p.chooseFile("#photo-choose", file)
	p.Wait(`document.querySelector("#photo-origin")`)
	require.Equal(t, "Taken at latitude -33.850000°, longitude 151.200000°. By the camera's clock: 2026-05-01 10:20.",
		p.Text("#photo-origin"))
	require.Equal(t, "true", p.Eval(`(async () => {
		const kept = blobs.filter((b) => b.type === "image/jpeg");
		for (const b of kept) if (/Exif|GPS/.test(await b.text())) return "held";
		return String(kept.length > 0);
	})()`))
	settled(p)
	p.Reload()
	p.Wait(`document.querySelector("#keep-origin").checked && document.querySelector(".photo img")`)

	// What goes to the owner, and what goes along with the site.
	p.Go(s.URL + angledSite + "/owner")
	p.WaitRunning()
	tapAfar(p, `[data-do="picture"]`)
	p.Wait("window.complete")
	require.Equal(t, "false", p.Eval(`(async () => {
		for (const b of blobs) { // what a drawing says, not where its lines go
			const words = (await b.text()).replace(/="[-+0-9A-Za-z., ()]*"/g, "");
			if (/33\.85|151\.2|Exif|eXIf|GPS/.test(words)) return "held";
		}
		return String(document.body.innerText.includes("33.85"));
	})()`))
	p.Go(s.URL + angledSite + "/pack")
	p.WaitRunning()
	p.Tap(`[data-pack="all"]`)
	for name, f := range caught(t, p) {
		if name == "demo-angled-drive-survey.json" {
			assert.Contains(t, f.Text, "-33.85")
		} else {
			assert.NotContains(t, f.Text, "33.85", name)
		}
	}

	open(p, s.URL+angledSite+"/photos", `.photo[data-photo="1"]`)
	p.Tap(`.photo[data-photo="1"]`)
	tapAfar(p, `[data-do="drop-origin"]`)
	p.Wait(`!document.querySelector("#photo-origin") && document.querySelector(".photo")`)
	settled(p)
	require.Empty(t, p.Faults())
}
