package api

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/png"
	"io"
	"math"
	"math/rand/v2"
	"net"
	"net/http"
	"net/http/httptest"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/web/api/apitest"
)

// noisePNG is a PNG of about so many bytes.
func noisePNG(t testing.TB, size int, seed uint64) []byte {
	t.Helper()
	side := int(math.Sqrt(float64(size) / 4))
	m := image.NewRGBA(image.Rect(0, 0, side, side))
	random := rand.New(rand.NewPCG(seed, uint64(size)))
	for i := range m.Pix {
		m.Pix[i] = uint8(random.Uint32())
	}
	var b bytes.Buffer
	require.NoError(t, (&png.Encoder{CompressionLevel: png.NoCompression}).Encode(&b, m))
	return b.Bytes()
}

func (f *fixture) upload(data []byte) string {
	f.t.Helper()
	id := storage.PhotoID(data)
	for at := 0; at < len(data); at += yard.MaxPieceBytes {
		part := data[at:min(at+yard.MaxPieceBytes, len(data))]
		_, err := f.yard.PutPiece(f.t.Context(), "d", id, int64(at), int64(len(data)), part)
		require.NoError(f.t, err)
	}
	return id
}

// heldNow is what the program holds.
func heldNow() int64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}

// peak is a writer that looks every few megabytes what the program holds.
type peak struct {
	*httptest.ResponseRecorder
	next, all, most int64
}

func (p *peak) Write(b []byte) (int, error) {
	if p.all += int64(len(b)); p.all >= p.next {
		p.next = p.all + 8<<20
		p.most = max(p.most, heldNow())
	}
	return len(b), nil
}

// Forty that ask for a photo and do not read it hold little, and not for long.
func TestReadersThatDoNotRead(t *testing.T) {
	f := newFixture(t)
	id := f.upload(noisePNG(t, 31<<20, 1))
	before := stall
	stall = 2 * time.Second
	defer func() { stall = before }()
	ended := make(chan struct{}, 100)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() { ended <- struct{}{} }()
		f.api.ServeHTTP(w, r)
	}))
	defer server.Close()
	was := heldNow()
	for range 40 {
		c, err := net.Dial("tcp", server.Listener.Addr().String())
		require.NoError(t, err)
		defer c.Close()
		_, err = fmt.Fprintf(c, "GET /api/v1/photos/%s HTTP/1.1\r\nHost: yard\r\nAuthorization: Bearer %s\r\n\r\n", id, f.crew)
		require.NoError(t, err)
	}
	time.Sleep(time.Second)
	held := heldNow() - was
	t.Logf("forty readers hold %d kB", held>>10)
	require.Less(t, held, int64(32<<20))
	for range 40 {
		select {
		case <-ended:
		case <-time.After(30 * time.Second):
			t.Fatal("somebody who does not read is waited for")
		}
	}
}

// An export is as large as its photos, and takes the memory of a part of one.
func TestExportIsStreamed(t *testing.T) {
	f := newFixture(t)
	var ids []string
	for n := range uint64(4) {
		ids = append(ids, f.upload(noisePNG(t, 8<<20, n)))
	}
	text := apitest.SiteBytes(t, "s", "N", ids...)
	f.want(201, f.ask(f.crew, "PUT", apitest.RevisionPath("s", text), text))
	w := &peak{ResponseRecorder: httptest.NewRecorder()}
	r := httptest.NewRequest("GET", "/api/v1/sites/s/export", nil)
	r.Header.Set("Authorization", "Bearer "+f.crew)
	was := heldNow()
	f.api.ServeHTTP(w, r)
	require.Equal(t, 200, w.Code)
	require.Greater(t, w.all, int64(40<<20), "all photos, in base64")
	t.Logf("an export of %d MB held %d kB", w.all>>20, (w.most-was)>>10)
	require.Less(t, w.most-was, int64(4<<20))
}

// An export is what the app restores, with the photos in it.
func TestExportIsRestored(t *testing.T) {
	f := newFixture(t)
	photo := noisePNG(t, 300_000, 3)
	id := f.upload(photo)
	text := apitest.SiteBytes(t, "s", "N", id, storage.PhotoID([]byte("not sent yet")))
	f.want(201, f.ask(f.crew, "PUT", apitest.RevisionPath("s", text), text))
	w := f.want(200, f.ask(f.crew, "GET", "/api/v1/sites/s/export", nil))
	s := storage.NewMemory()
	report, err := s.RestoreBackUp(t.Context(), w.Body, storage.KeepHere)
	require.NoError(t, err)
	require.True(t, report.Complete)
	require.Equal(t, 1, report.NewPhotos)
	mediaType, data, err := s.Photo(t.Context(), id)
	require.NoError(t, err)
	require.Equal(t, "image/png", mediaType)
	require.True(t, bytes.Equal(photo, data))
}

// A back-up is as large as the yard and takes no memory; a second one is told to wait.
func TestBackUpIsStreamed(t *testing.T) {
	f := newFixture(t)
	for n := range uint64(4) {
		f.upload(noisePNG(t, 8<<20, n))
	}
	one, err := f.yard.OpenBackUp(t.Context(), yard.WithoutKeys)
	require.NoError(t, err)
	w := f.want(503, f.ask(f.office, "GET", "/api/v1/backup", nil))
	require.NotEmpty(t, w.Header().Get("Retry-After"))
	require.NoError(t, one.Close())
	p := &peak{ResponseRecorder: httptest.NewRecorder()}
	r := httptest.NewRequest("GET", "/api/v1/backup", nil)
	r.Header.Set("Authorization", "Bearer "+f.office)
	was := heldNow()
	f.api.ServeHTTP(p, r)
	require.Equal(t, 200, p.Code)
	require.Greater(t, p.all, int64(30<<20))
	require.Less(t, p.most-was, int64(4<<20))
}

// A photo that is damaged further on is broken off, not ended; nobody takes it for whole.
func TestADamagedPhotoIsBrokenOff(t *testing.T) {
	folder := t.TempDir()
	y := serveYard(t, folder)
	_, token, err := y.yard.Pair(t.Context(), y.code(), "Phone")
	require.NoError(t, err)
	f := &fixture{t: t, yard: y.yard}
	data := noisePNG(t, 1<<20, 5)
	id := f.upload(data)
	ask := func(part string) (*http.Response, []byte, error) {
		r, err := http.NewRequestWithContext(context.Background(), "GET", y.server.URL+"/api/v1/photos/"+id, nil)
		require.NoError(t, err)
		r.Header.Set("Authorization", "Bearer "+token)
		if part != "" {
			r.Header.Set("Range", part)
		}
		answer, err := y.server.Client().Do(r)
		require.NoError(t, err)
		defer answer.Body.Close()
		body, err := io.ReadAll(answer.Body)
		return answer, body, err
	}
	flipByte(t, folder+"/"+yard.PhotosFolder+"/"+id, 700_000)
	answer, body, err := ask("bytes=100000-100009")
	require.NoError(t, err)
	require.Equal(t, 206, answer.StatusCode, "what is sound is given")
	require.Equal(t, data[100000:100010], body)
	answer, body, err = ask("")
	require.Equal(t, 200, answer.StatusCode)
	require.ErrorIs(t, err, io.ErrUnexpectedEOF)
	require.True(t, bytes.Equal(data[:len(body)], body))
	answer, _, _ = ask("")
	require.Equal(t, 404, answer.StatusCode, "it has to be sent again")
	f.upload(data)
	flipByte(t, folder+"/"+yard.PhotosFolder+"/"+id, 700_000)
	answer, _, err = ask("bytes=700000-700009")
	require.NoError(t, err)
	require.Equal(t, 503, answer.StatusCode)
}
