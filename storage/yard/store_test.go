package yard_test

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/png"
	"io"
	"math"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/johannesboyne/gofakes3"
	"github.com/johannesboyne/gofakes3/backend/s3mem"
	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/storage/yard/yardtest"
)

// s3 is a real S3 server in this process, with what goes wrong.
type s3 struct {
	address string
	fail    atomic.Pointer[string] // "refuse", "slow", "lose" the answer, "spoil" the bytes
	on      atomic.Pointer[string] // the method that fails
	stop    chan struct{}
}

func newS3(t testing.TB) *s3 {
	t.Helper()
	t.Setenv("AWS_ACCESS_KEY_ID", "key")
	t.Setenv("AWS_SECRET_ACCESS_KEY", "secret")
	t.Setenv("AWS_MAX_ATTEMPTS", "1")
	backend := s3mem.New()
	require.NoError(t, backend.CreateBucket("photos"))
	inner := gofakes3.New(backend).Server()
	s := &s3{stop: make(chan struct{})}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		fail, on := s.fail.Load(), s.on.Load()
		if fail == nil || *on != r.Method {
			inner.ServeHTTP(w, r)
			return
		}
		switch *fail {
		case "refuse":
			http.Error(w, "busy", http.StatusServiceUnavailable)
		case "slow":
			select {
			case <-r.Context().Done():
			case <-s.stop:
			}
		case "lose":
			inner.ServeHTTP(httptest.NewRecorder(), r)
			panic(http.ErrAbortHandler)
		case "spoil":
			answer := httptest.NewRecorder()
			inner.ServeHTTP(answer, r)
			body := answer.Body.Bytes()
			if len(body) > 0 {
				body[len(body)/2] ^= 1
			}
			for name, values := range answer.Header() {
				w.Header()[name] = values
			}
			w.WriteHeader(answer.Code)
			_, _ = w.Write(body)
		}
	}))
	t.Cleanup(func() { close(s.stop); server.Close() })
	s.address = "s3://photos?region=us-east-1&use_path_style=true&response_checksum_validation=when_required&endpoint=" +
		url.QueryEscape(server.URL)
	return s
}

// fails has calls of a method fail so; "" mends it.
func (s *s3) fails(how, method string) {
	if s.on.Store(&method); how == "" {
		s.fail.Store(nil)
		return
	}
	s.fail.Store(&how)
}

// upload sends a photo in pieces.
func upload(t testing.TB, y *yard.Yard, data []byte) error {
	t.Helper()
	const piece = 100_000
	id := storage.PhotoID(data)
	for start := 0; start < len(data); start += piece {
		part := data[start:min(start+piece, len(data))]
		if _, err := y.PutPiece(t.Context(), "d", id, int64(start), int64(len(data)), part); err != nil {
			return err
		}
	}
	return nil
}

func stored(t testing.TB, y *yard.Yard, data []byte) {
	t.Helper()
	p, got, err := y.PhotoBytes(t.Context(), storage.PhotoID(data))
	require.NoError(t, err)
	require.True(t, bytes.Equal(data, got))
	require.True(t, p.Complete)
	require.EqualValues(t, len(data), p.Have)
}

// rowsOf asks the database itself.
func rowsOf(t testing.TB, folder, query string) (n int) {
	t.Helper()
	return yard.FileRows(t, filepath.Join(folder, yard.FileName), query)
}

// largePicture is a PNG of about so many bytes.
func largePicture(t testing.TB, size int) []byte {
	t.Helper()
	side := int(math.Sqrt(float64(size) / 4))
	m := image.NewRGBA(image.Rect(0, 0, side, side))
	random := rand.New(rand.NewPCG(1, uint64(size)))
	for i := range m.Pix {
		m.Pix[i] = uint8(random.Uint32())
	}
	var b bytes.Buffer
	require.NoError(t, (&png.Encoder{CompressionLevel: png.NoCompression}).Encode(&b, m))
	return b.Bytes()
}

// Photos are files named by what they hold, none of them in the database.
func TestPhotosAreFilesBesideTheDatabase(t *testing.T) {
	folder := t.TempDir()
	y := opened(t, folder, yard.Options{})
	data := picture(t, 300)
	require.NoError(t, upload(t, y, data))
	stored(t, y, data)
	file := filepath.Join(folder, yard.PhotosFolder, storage.PhotoID(data))
	kept, err := os.ReadFile(file)
	require.NoError(t, err)
	require.True(t, bytes.Equal(data, kept))
	at, err := os.Stat(file)
	require.NoError(t, err)
	require.EqualValues(t, 0o600, at.Mode().Perm())
	require.Zero(t, rowsOf(t, folder, "SELECT COUNT(*) FROM pieces"))
	require.Zero(t, rowsOf(t, folder, "SELECT complete + have FROM photos"), "a server of before finds none, and hands out none")
	require.NoError(t, upload(t, y, data), "again changes nothing")
	require.NoError(t, y.CheckStore(t.Context()))
}

// Whatever the store does, a photo counts as stored when it is, and not before.
func TestStoreThatFails(t *testing.T) {
	store := newS3(t)
	y := opened(t, t.TempDir(), yard.Options{NotDurable: true, Photos: store.address, Patience: 2 * time.Second})
	n := 0
	for _, fault := range []struct{ how, method string }{
		{"refuse", "PUT"}, {"slow", "PUT"}, {"lose", "PUT"},
		{"refuse", "GET"}, {"slow", "GET"}, {"lose", "GET"}, {"spoil", "GET"},
	} {
		t.Run(fault.how+" "+fault.method, func(t *testing.T) {
			n++
			data := picture(t, 200+n)
			id := storage.PhotoID(data)
			store.fails(fault.how, fault.method)
			err := upload(t, y, data)
			var away *yard.StoreError
			require.ErrorAs(t, err, &away)
			p, err := y.Photo(t.Context(), id)
			require.NoError(t, err)
			require.False(t, p.Complete, "not kept yet")
			require.Less(t, p.Have, p.Size, "the phone has something to send")
			_, _, err = y.PhotoBytes(t.Context(), id)
			require.ErrorIs(t, err, yard.ErrNotFound)

			store.fails("", "")
			_, err = y.PutPiece(t.Context(), "d", id, p.Have, p.Size, data[p.Have:])
			require.NoError(t, err, "the last piece alone is sent again")
			stored(t, y, data)

			// A photo that is there is not lost because the store does not answer.
			if fault.method == "GET" && fault.how != "spoil" {
				store.fails(fault.how, fault.method)
				_, _, err = y.PhotoBytes(t.Context(), id)
				require.ErrorAs(t, err, &away)
				store.fails("", "")
				stored(t, y, data)
			}
		})
	}
	data := picture(t, 300)
	id := storage.PhotoID(data)
	require.NoError(t, upload(t, y, data))
	store.fails("spoil", "GET")
	var damaged *yard.DamagedError
	_, _, err := y.PhotoBytes(t.Context(), id)
	require.ErrorAs(t, err, &damaged, "no wrong byte is given")
	store.fails("", "")
	_, err = y.OpenPhoto(t.Context(), id)
	require.ErrorIs(t, err, yard.ErrNotFound, "it has to be sent again")
	require.NoError(t, upload(t, y, data))
	stored(t, y, data)
}

// A store that is another yard's, or another place than the one before, is not used: what
// it lacks would be taken for lost.
func TestStoreOfAnotherYard(t *testing.T) {
	store := newS3(t)
	folder := t.TempDir()
	y := opened(t, folder, yard.Options{NotDurable: true, Photos: store.address})
	data := picture(t, 50)
	require.NoError(t, upload(t, y, data))
	other := opened(t, t.TempDir(), yard.Options{NotDurable: true, Photos: store.address})
	var away *yard.StoreError
	require.ErrorAs(t, upload(t, other, data), &away)
	require.ErrorContains(t, other.CheckStore(t.Context()), "belongs to another yard")
	beside := opened(t, t.TempDir(), yard.Options{NotDurable: true, Photos: store.address + "&prefix=other/"})
	require.NoError(t, upload(t, beside, data), "a prefix of its own is a store of its own")
	require.NoError(t, y.Close())
	for _, o := range []yard.Options{{}, {Photos: store.address + "&prefix=typo/"}} {
		o.NotDurable = true
		y = opened(t, folder, o)
		_, _, err := y.PhotoBytes(t.Context(), storage.PhotoID(data))
		require.ErrorAs(t, err, &away)
		require.ErrorContains(t, y.CheckStore(t.Context()), "lacks the yard's mark")
		require.NoError(t, y.Close())
	}
	stored(t, opened(t, folder, yard.Options{NotDurable: true, Photos: store.address}), data)
}

// Photos that a server of before put into the database are moved, one by one; killed at
// each point, and refused by the store, the move goes on the next time; all can be read
// all the time.
func TestMovingPhotos(t *testing.T) {
	databases := map[string]func(t *testing.T) string{"SQLite": func(t *testing.T) string { return t.TempDir() }}
	postgres := yardtest.Postgres(t)
	databases["PostgreSQL"] = func(*testing.T) string { return postgres() }
	for name, where := range databases {
		t.Run(name, func(t *testing.T) {
			store := newS3(t)
			place := where(t)
			killed := errors.New("killed")
			at := ""
			fault := func(point string) error {
				if point == at {
					return killed
				}
				return nil
			}
			y := opened(t, place, yard.Options{NotDurable: true, Photos: store.address, Fault: fault})
			var all [][]byte
			for n := range 6 {
				data := picture(t, 150+n)
				all = append(all, data)
				yard.PutInDatabase(t, y, data)
			}
			readable := func() {
				t.Helper()
				for _, data := range all {
					stored(t, y, data)
				}
			}
			readable()
			for _, point := range []string{"move", "moved", "begin", "commit", "committed"} {
				at = point
				_, err := y.MovePhotos(t.Context())
				require.ErrorIs(t, err, killed, point)
				at = ""
				readable()
			}
			store.fails("refuse", "PUT")
			_, err := y.MovePhotos(t.Context())
			var away *yard.StoreError
			require.ErrorAs(t, err, &away)
			readable()
			store.fails("", "")
			stopped, stop := context.WithCancel(t.Context())
			stop()
			_, err = y.MovePhotos(stopped)
			require.ErrorIs(t, err, context.Canceled)

			// Somebody reads one while it is moved.
			reader, err := y.OpenPhoto(t.Context(), storage.PhotoID(all[5]))
			require.NoError(t, err)
			defer reader.Close()
			first := make([]byte, 10)
			_, err = io.ReadFull(reader, first)
			require.NoError(t, err)
			moved, err := y.MovePhotos(t.Context())
			require.NoError(t, err)
			require.Positive(t, moved)
			rest, err := io.ReadAll(reader)
			require.NoError(t, err)
			require.True(t, bytes.Equal(all[5], append(first, rest...)))
			readable()
			moved, err = y.MovePhotos(t.Context())
			require.NoError(t, err)
			require.Zero(t, moved)
			require.Zero(t, yard.CountRows(t, y, "pieces"))
		})
	}
}

// What is let go is let go in the store too; what the store does not remove now it
// removes later, and what belongs to nothing is found.
func TestObjectsGoWithTheirPhotos(t *testing.T) {
	store := newS3(t)
	now := time.Now()
	y := opened(t, t.TempDir(), yard.Options{NotDurable: true, Photos: store.address, Now: func() time.Time { return now }})
	ctx := t.Context()
	data := picture(t, 60)
	id := storage.PhotoID(data)
	require.NoError(t, upload(t, y, data))
	put(t, y, "s", document(t, "s", func(d *storage.Document) { d.Photos = []storage.Photo{{ID: id}} }))
	_, err := y.DeleteSite(ctx, "d", "s")
	require.NoError(t, err)
	store.fails("refuse", "DELETE")
	_, err = y.Purge(ctx, "s")
	require.NoError(t, err)
	_, err = y.Photo(ctx, id)
	require.ErrorIs(t, err, yard.ErrNotFound)
	var away *yard.StoreError
	require.ErrorAs(t, upload(t, y, data), &away, "what comes meanwhile waits until the old object is gone")
	_, err = y.Sweep(ctx)
	require.ErrorAs(t, err, &away)
	store.fails("", "")
	_, err = y.Sweep(ctx)
	require.NoError(t, err)
	require.Equal(t, []string{"yard"}, yard.ObjectKeys(t, y))
	require.NoError(t, upload(t, y, data))
	stored(t, y, data)

	folder := t.TempDir()
	y = opened(t, folder, yard.Options{NotDurable: true})
	require.NoError(t, upload(t, y, data))
	photos := filepath.Join(folder, yard.PhotosFolder)
	stray := strings.Repeat("ab", 32)
	for _, name := range []string{stray, id + ".18a.tmp", strings.Repeat("cd", 32)} {
		require.NoError(t, os.WriteFile(filepath.Join(photos, name), []byte("x"), 0o600))
	}
	old := time.Now().Add(-2 * time.Hour)
	for _, name := range []string{stray, id + ".18a.tmp", id} {
		require.NoError(t, os.Chtimes(filepath.Join(photos, name), old, old))
	}
	removed, err := y.SweepStore(ctx)
	require.NoError(t, err)
	require.Equal(t, 2, removed)
	require.ElementsMatch(t, []string{strings.Repeat("cd", 32), id, "yard"}, yard.ObjectKeys(t, y), "what is new may belong to something yet")
	stored(t, y, data)
}

// A back-up holds the photos as it always did, wherever they are; it is restored into a
// folder, into a store, into PostgreSQL without one.
func TestBackUpCarriesPhotos(t *testing.T) {
	store := newS3(t)
	postgres := yardtest.Postgres(t)
	y := opened(t, t.TempDir(), yard.Options{NotDurable: true, Photos: store.address})
	large, small := picture(t, 700), picture(t, 20)
	lost := picture(t, 333)
	for _, data := range [][]byte{large, small, lost} {
		require.NoError(t, upload(t, y, data))
	}
	require.Greater(t, len(large), yard.MaxPieceBytes, "of several pieces")
	yard.SpoilObject(t, y, storage.PhotoID(lost))
	file := filepath.Join(t.TempDir(), "backup")
	require.NoError(t, y.BackUp(t.Context(), file))
	_, err := y.OpenPhoto(t.Context(), storage.PhotoID(lost))
	require.ErrorIs(t, err, yard.ErrNotFound, "what a back-up finds damaged is noted")
	for name, to := range map[string]struct {
		where  string
		photos string
	}{
		"folder":     {filepath.Join(t.TempDir(), "a"), ""},
		"S3":         {filepath.Join(t.TempDir(), "b"), store.address + "&prefix=restored/"},
		"PostgreSQL": {postgres(), ""},
		"both":       {postgres(), store.address + "&prefix=postgres/"},
	} {
		o := yard.Options{NotDurable: true, Photos: to.photos}
		require.NoError(t, yard.RestoreTo(t.Context(), file, to.where, o), name)
		r := opened(t, to.where, o)
		stored(t, r, large)
		stored(t, r, small)
		_, err := r.OpenPhoto(t.Context(), storage.PhotoID(lost))
		require.ErrorIs(t, err, yard.ErrNotFound, name)
		require.NoError(t, upload(t, r, lost), name)
		stored(t, r, lost)
		again := filepath.Join(t.TempDir(), name)
		require.NoError(t, r.BackUp(t.Context(), again), name)
		require.Equal(t, len(large)+len(small)+len(lost), yard.FileRows(t, again, "SELECT SUM(LENGTH(bytes)) FROM pieces"))
	}
	var away *yard.StoreError
	taken := filepath.Join(t.TempDir(), "c")
	err = yard.RestoreTo(t.Context(), file, taken, yard.Options{Photos: store.address})
	require.ErrorAs(t, err, &away, "the old yard may still live")
	require.NoError(t, yard.Restore(t.Context(), file, taken), "what did not come to its end can be tried again")
}

// There is one back-up at a time, and nothing is left of it.
func TestOneBackUpAtATime(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	y := opened(t, t.TempDir(), yard.Options{NotDurable: true})
	put(t, y, "s", document(t, "s", named("N")))
	one, err := y.OpenBackUp(t.Context(), yard.WithoutKeys)
	require.NoError(t, err)
	_, err = y.OpenBackUp(t.Context(), yard.WithoutKeys)
	require.ErrorIs(t, err, yard.ErrBackingUp)
	left, err := os.ReadDir(os.TempDir())
	require.NoError(t, err)
	require.Empty(t, left, "it has no name any more while it is read")
	text, err := io.ReadAll(one)
	require.NoError(t, err)
	require.NoError(t, one.Close())
	file := filepath.Join(t.TempDir(), "b")
	require.NoError(t, os.WriteFile(file, text, 0o600))
	require.NoError(t, yard.Restore(t.Context(), file, filepath.Join(t.TempDir(), "r")))
	two, err := y.OpenBackUp(t.Context(), yard.WithoutKeys)
	require.NoError(t, err)
	require.NoError(t, two.Close())

	killed := filepath.Join(os.TempDir(), "pegpour-work-123")
	require.NoError(t, os.Mkdir(killed, 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(killed, "yard.sqlite"), []byte("x"), 0o600))
	past := time.Now().Add(-25 * time.Hour)
	require.NoError(t, os.Chtimes(killed, past, past))
	yard.ClearWork()
	require.NoDirExists(t, killed)
}

// Where there is no room for a back-up that is being sent, nothing of it is begun, and
// the next one is not held up.
func TestNoRoomForABackUp(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	free := int64(100_000)
	y := opened(t, t.TempDir(), yard.Options{NotDurable: true, Room: func(string) int64 { return free }})
	put(t, y, "s", document(t, "s", named("N")))
	_, err := y.OpenBackUp(t.Context(), yard.WithKeys)
	require.True(t, yard.IsFull(err), err)
	require.ErrorContains(t, err, "100000 bytes are free")
	left, err := os.ReadDir(os.TempDir())
	require.NoError(t, err)
	require.Empty(t, left)
	free = 1 << 30
	one, err := y.OpenBackUp(t.Context(), yard.WithKeys)
	require.NoError(t, err)
	require.NoError(t, one.Close())
}

// A part of a large photo costs a part of its memory, however many ask.
func TestReadingAPartTakesAPart(t *testing.T) {
	for _, name := range []string{"files", "database"} {
		t.Run(name, func(t *testing.T) {
			data := largePicture(t, 31<<20)
			y := opened(t, t.TempDir(), yard.Options{NotDurable: true})
			if name == "files" {
				require.NoError(t, upload(t, y, data))
			} else {
				yard.PutInDatabase(t, y, data)
			}
			id := storage.PhotoID(data)
			one, err := y.OpenPhoto(t.Context(), id)
			require.NoError(t, err)
			require.NoError(t, one.Close())
			before := inUse()
			var readers sync.WaitGroup
			ready, let := make(chan struct{}, 30), make(chan struct{})
			for n := range 30 {
				readers.Go(func() {
					r, err := y.OpenPhoto(t.Context(), id)
					if err == nil {
						_, err = r.Seek(int64(n)*1_000_000+7, io.SeekStart)
					}
					b := make([]byte, 1)
					if err == nil {
						_, err = io.ReadFull(r, b)
					}
					if err != nil || b[0] != data[n*1_000_000+7] {
						t.Error("wrong", n, err)
					}
					ready <- struct{}{}
					<-let
					_ = r.Close()
				})
			}
			for range 30 {
				<-ready
			}
			took := inUse() - before
			close(let)
			readers.Wait()
			t.Logf("thirty parts held %d kB", took>>10)
			require.Less(t, took, int64(12<<20))
		})
	}
}

// inUse is what the program holds.
func inUse() int64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}

// A flipped bit anywhere in a photo is found before it is given, and the photo is sent
// again.
func TestDamagedPhotoIsNeverGiven(t *testing.T) {
	for _, where := range []string{"files", "database"} {
		t.Run(where, func(t *testing.T) {
			y := opened(t, t.TempDir(), yard.Options{NotDurable: true})
			data := picture(t, 400)
			id := storage.PhotoID(data)
			if where == "files" {
				require.NoError(t, upload(t, y, data))
			} else {
				yard.PutInDatabase(t, y, data)
			}
			put(t, y, "s", document(t, "s", func(d *storage.Document) { d.Photos = []storage.Photo{{ID: id}} }))
			_, after, _, err := y.Changes(t.Context(), yard.Device{}, 0, 0)
			require.NoError(t, err)
			r, err := y.OpenPhoto(t.Context(), id)
			require.NoError(t, err)
			defer r.Close()
			yard.FlipBit(t, y, id, 300_000)
			got, err := io.ReadAll(r)
			var damaged *yard.DamagedError
			require.ErrorAs(t, err, &damaged)
			require.True(t, bytes.Equal(data[:len(got)], got), "what was given is right")
			_, err = y.OpenPhoto(t.Context(), id)
			require.ErrorIs(t, err, yard.ErrNotFound)
			changes, _, _, err := y.Changes(t.Context(), yard.Device{}, after, 0)
			require.NoError(t, err)
			require.Len(t, changes, 1)
			require.Equal(t, []string{id}, changes[0].Lacks, "phones hear of it")
			require.NoError(t, upload(t, y, data))
			stored(t, y, data)
			changes, _, _, err = y.Changes(t.Context(), yard.Device{}, after, 0)
			require.NoError(t, err)
			require.Empty(t, changes[0].Lacks)
		})
	}
}
