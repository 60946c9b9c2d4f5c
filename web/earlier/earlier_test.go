package earlier

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"
	"testing/fstest"

	"github.com/andybalholm/brotli"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/web/bundle"
	"pegpour/web/delta"
)

var quiet = slog.New(slog.DiscardHandler)

// version is a bundle whose program and whose office's are what is given, and the name of
// the program.
func version(t *testing.T, program []byte) (*bundle.Bundle, string) {
	t.Helper()
	files := fstest.MapFS{}
	contents := bundle.Contents{Version: "v"}
	add := func(kind, ending string, content []byte) string {
		digest := sha256.Sum256(content)
		sum := hex.EncodeToString(digest[:])
		name := kind + "." + sum[:16] + ending
		var packed bytes.Buffer
		w := brotli.NewWriterLevel(&packed, 1)
		_, err := w.Write(content)
		require.NoError(t, err)
		require.NoError(t, w.Close())
		files[name+".br"], files[name+".gz"] = &fstest.MapFile{Data: packed.Bytes()}, &fstest.MapFile{}
		contents.Files = append(contents.Files, bundle.File{Name: name, SHA256: sum, Size: len(content), Packed: true})
		return name
	}
	contents.Wasm = add("app", ".wasm", program)
	add("office", ".wasm", append([]byte("office "), program...))
	contents.Page, contents.Worker = add("page", ".html", nil), add("worker", ".js", nil)
	list, err := json.Marshal(contents)
	require.NoError(t, err)
	files[bundle.ContentsFile] = &fstest.MapFile{Data: list}
	b, err := bundle.Open(files)
	require.NoError(t, err)
	return b, contents.Wasm
}

func noise(seed uint64) []byte {
	r := rand.New(rand.NewPCG(seed, 0))
	b := make([]byte, 20_000)
	for i := range b {
		b[i] = byte(r.IntN(256))
	}
	return b
}

func names(t *testing.T, folder string) (all []string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	for _, e := range entries {
		all = append(all, e.Name())
	}
	return all
}

// A phone with the version before is sent what changed, by the address its worker asks at,
// and makes the new one of it; one with a version that was never here is not.
func TestWhatChangedIsSent(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "programs")
	first, second := noise(1), append(noise(1), "a sentence more"...)
	old, oldName := version(t, first)
	p, err := Keep(folder, old, quiet)
	require.NoError(t, err)
	p.Run(context.Background())
	assert.Len(t, names(t, folder), 2, "nothing was before the first")

	now, nowName := version(t, second)
	p, err = Keep(folder, now, quiet)
	require.NoError(t, err)
	now.Changes = p.Delta
	ask := func(address, encodings string) *http.Response {
		w, r := httptest.NewRecorder(), httptest.NewRequest(http.MethodGet, address, nil)
		r.Header.Set("Accept-Encoding", encodings)
		now.ServeHTTP(w, r)
		return w.Result()
	}
	address := "/a/" + nowName + "/from/" + oldName
	assert.Equal(t, 404, ask(address, "br").StatusCode, "it is not made yet")
	p.Run(context.Background())
	answer := ask(address, "gzip, br")
	require.Equal(t, 200, answer.StatusCode)
	assert.Equal(t, "br", answer.Header.Get("Content-Encoding"))
	packed, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	assert.Less(t, len(packed), 200)
	changes, err := io.ReadAll(brotli.NewReader(bytes.NewReader(packed)))
	require.NoError(t, err)
	made, err := delta.Apply(first, changes, len(second))
	require.NoError(t, err)
	assert.True(t, bytes.Equal(second, made))

	assert.Equal(t, 404, ask(address, "deflate").StatusCode)
	answer = ask(address, "gzip, deflate")
	require.Equal(t, "gzip", answer.Header.Get("Content-Encoding"))
	unpacked, err := gzip.NewReader(answer.Body)
	require.NoError(t, err)
	again, err := io.ReadAll(unpacked)
	require.NoError(t, err)
	assert.Equal(t, changes, again)
	assert.Equal(t, 404, ask("/a/"+nowName+"/from/app.0000000000000000.wasm", "br").StatusCode)
	assert.Equal(t, 404, ask("/a/"+oldName+"/from/"+nowName, "br").StatusCode)
	assert.Equal(t, 404, ask("/a/"+nowName+"/from/../"+oldName, "br").StatusCode)

	// The next start takes the delta that is there.
	require.NoError(t, os.WriteFile(filepath.Join(folder, oldName+packedForm), nil, 0o600)) // it is not read again
	p, err = Keep(folder, now, quiet)
	require.NoError(t, err)
	p.Run(context.Background())
	assert.Equal(t, packed, p.Delta(oldName, nowName))
}

// Of each program the last three versions stay, and only what leads to today's.
func TestVersionsLongAgoGo(t *testing.T) {
	folder := t.TempDir()
	var last string
	for i := range uint64(7) {
		b, name := version(t, noise(i))
		p, err := Keep(folder, b, quiet)
		require.NoError(t, err)
		p.Run(context.Background())
		last = name
	}
	programs := 0
	for _, name := range names(t, folder) {
		if old, next, ok := deltaOf(name); ok {
			assert.True(t, next == last || next[:6] == "office", name)
			assert.FileExists(t, filepath.Join(folder, old+packedForm))
			continue
		}
		programs++
	}
	assert.Equal(t, 2*(versions+1), programs)
}

// A folder that holds something else, such as a yard, loses nothing of it.
func TestWhatIsNotOursStays(t *testing.T) {
	folder := t.TempDir()
	others := []string{"yard.db", "notes.br", "app.wasm.br", "a-b.delta.br", ".part-1"}
	for _, name := range others {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte("x"), 0o600))
	}
	require.NoError(t, os.MkdirAll(filepath.Join(folder, "blobs", "empty"), 0o700))
	for i := range uint64(6) {
		b, _ := version(t, noise(i))
		p, err := Keep(folder, b, quiet)
		require.NoError(t, err)
		p.Run(context.Background())
	}
	for _, name := range append(others, "blobs/empty") {
		_, err := os.Stat(filepath.Join(folder, name))
		assert.NoError(t, err, name)
	}
}

// A program that is kept but damaged leads nowhere, and no harm comes of it.
func TestDamagedProgramLeadsNowhere(t *testing.T) {
	folder := t.TempDir()
	old, oldName := version(t, noise(1))
	_, err := Keep(folder, old, quiet)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, oldName+packedForm), []byte("not brotli"), 0o600))
	now, nowName := version(t, append(noise(1), 1))
	p, err := Keep(folder, now, quiet)
	require.NoError(t, err)
	p.Run(context.Background())
	assert.Nil(t, p.Delta(oldName, nowName))
	assert.Len(t, p.deltas, 1, "the office's is made")
}
