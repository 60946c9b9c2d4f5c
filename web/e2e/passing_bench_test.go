package e2e

import (
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
)

// BenchmarkPassing measures what comes through a camera at 30 pictures a second, three of
// ten of the row's lost: a site without photos, and a megabyte. Its figures are bytes a
// second, from the first picture to the digest that holds, and the seconds of it.
func BenchmarkPassing(b *testing.B) {
	for _, c := range []struct {
		name         string
		edits, photo int
	}{{"site", 300, 0}, {"megabyte", 10, 1 << 20}} {
		b.Run(c.name, func(b *testing.B) {
			s := StartServer(b, requireServer(b), realBundle)
			store := storage.NewMemory()
			id, _ := jobFile(b, store, c.edits, c.photo)
			shots, _ := rowMade(b, store, id)
			film := filepath.Join(b.TempDir(), "row.mjpeg")
			screening{lossy(b, shots, 1), pictureTime}.film(b, film)
			p := withFilm(b, film).Open(b, s.URL+"/take")
			p.WaitKept()
			for b.Loop() {
				p.Reload()
				p.Tap("[data-do=open-camera]")
				for p.Eval(`String(!!document.querySelector("#take-whole"))`) != "true" {
					p.Eval(`new Promise((later) => setTimeout(later, 200))`)
				}
				took, err := strconv.Atoi(p.Eval(`document.querySelector("#take-whole").dataset.ms`))
				require.NoError(b, err)
				size, err := strconv.Atoi(p.Eval(`document.querySelector("#take-whole").dataset.bytes`))
				require.NoError(b, err)
				b.ReportMetric(float64(took)/1000, "s")
				b.ReportMetric(float64(size)/1000, "kB")
				b.ReportMetric(float64(size)*1000/float64(took), "B/s")
				b.ReportMetric(0, "ns/op")
			}
		})
	}
}
