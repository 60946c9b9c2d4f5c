package main

import (
	"archive/tar"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// unpack reads an archive.
func unpack(t *testing.T, archive []byte) (headers map[string]*tar.Header, files map[string][]byte) {
	t.Helper()
	headers, files = map[string]*tar.Header{}, map[string][]byte{}
	r := tar.NewReader(bytes.NewReader(archive))
	for {
		h, err := r.Next()
		if errors.Is(err, io.EOF) {
			return headers, files
		}
		require.NoError(t, err)
		b, err := io.ReadAll(r)
		require.NoError(t, err)
		headers[h.Name], files[h.Name] = h, b
	}
}

// TestImageHoldsTheProgramAndNothingElse lays out the image of a program built now, goes
// through it as who loads it does, and runs it with nothing else in sight.
func TestImageHoldsTheProgramAndNothingElse(t *testing.T) {
	folder := t.TempDir()
	program := os.Getenv("PEGPOUR_BINARY")
	if program == "" {
		program = filepath.Join(folder, "pegpour")
		c := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-o", program, "pegpour/web")
		c.Env = append(os.Environ(), "CGO_ENABLED=0")
		said, err := c.CombinedOutput()
		require.NoError(t, err, string(said))
	}
	out := filepath.Join(folder, "image.tar")
	require.NoError(t, write(program, out))
	archive, err := os.ReadFile(out)
	require.NoError(t, err)
	require.NoError(t, write(program, out))
	again, err := os.ReadFile(out)
	require.NoError(t, err)
	require.True(t, bytes.Equal(archive, again), "the same program makes the same image")

	_, files := unpack(t, archive)
	for name, data := range files {
		if digest, found := strings.CutPrefix(name, "blobs/sha256/"); found && digest != "" {
			sum := sha256.Sum256(data)
			require.Equal(t, digest, hex.EncodeToString(sum[:]))
		}
	}
	blob := func(d descriptor) []byte {
		t.Helper()
		data := files["blobs/sha256/"+strings.TrimPrefix(d.Digest, "sha256:")]
		require.Len(t, data, d.Size)
		return data
	}
	var index struct{ Manifests []descriptor }
	require.NoError(t, json.Unmarshal(files["index.json"], &index))
	require.Len(t, index.Manifests, 1)
	var manifest struct {
		Config descriptor
		Layers []descriptor
	}
	require.NoError(t, json.Unmarshal(blob(index.Manifests[0]), &manifest))
	require.Len(t, manifest.Layers, 1)
	var config struct {
		OS, Architecture string
		Config           struct {
			User            string
			Env, Entrypoint []string
			Cmd             []string
		}
		RootFS struct {
			DiffIDs []string `json:"diff_ids"`
		}
	}
	require.NoError(t, json.Unmarshal(blob(manifest.Config), &config))
	require.Equal(t, "linux", config.OS)
	require.Equal(t, []string{manifest.Layers[0].Digest}, config.RootFS.DiffIDs)
	headers, content := unpack(t, blob(manifest.Layers[0]))
	require.Len(t, headers, 3)
	require.EqualValues(t, owner, headers["data/"].Uid)

	// It runs with nothing but what is in it, as the user of the image.
	if os.Getuid() != 0 {
		t.Skip("only root can look at a program from inside an image")
	}
	root := filepath.Join(t.TempDir(), "root")
	for name, h := range headers {
		at := filepath.Join(root, name)
		if h.Typeflag == tar.TypeDir {
			require.NoError(t, os.MkdirAll(at, 0o755))
		} else {
			require.NoError(t, os.MkdirAll(filepath.Dir(at), 0o755))
			require.NoError(t, os.WriteFile(at, content[name], 0o644))
		}
		require.NoError(t, os.Chown(at, h.Uid, h.Gid))
		require.NoError(t, os.Chmod(at, os.FileMode(h.Mode)))
	}
	for at := root; at != "/" && at != os.TempDir(); at = filepath.Dir(at) {
		require.NoError(t, os.Chmod(at, 0o755)) // the user of the image looks through it
	}
	run := func(arguments ...string) string {
		t.Helper()
		c := exec.Command(config.Config.Entrypoint[0], arguments...)
		c.Env, c.Dir = config.Config.Env, "/"
		c.SysProcAttr = &syscall.SysProcAttr{Chroot: root, Credential: &syscall.Credential{Uid: owner, Gid: owner}}
		said, err := c.CombinedOutput()
		require.NoError(t, err, string(said))
		return string(said)
	}
	require.Contains(t, run("version"), "protocol  v1")
	require.Contains(t, run("pair", "-role", "office"), "For one office device")
	require.Contains(t, run("check"), "All of it is sound.")
	require.Contains(t, run("backup", "-out", "/tmp/copy"), "All of it is sound.")
}

func TestProgramWithLibrariesIsRefused(t *testing.T) {
	if _, err := os.Stat("/bin/ls"); err != nil {
		t.Skip(err)
	}
	require.ErrorContains(t, write("/bin/ls", filepath.Join(t.TempDir(), "x")), "CGO_ENABLED=0")
	require.ErrorContains(t, write("main.go", filepath.Join(t.TempDir(), "x")), "no program for Linux")
}

// The recipe for a builder says the same.
func TestContainerfileSaysTheSame(t *testing.T) {
	text, err := os.ReadFile("../Containerfile")
	require.NoError(t, err)
	_, recipe, found := strings.Cut(string(text), "FROM scratch\n")
	require.True(t, found, "nothing stands under it")
	var env []string
	for _, m := range regexp.MustCompile(`(?m)^ENV (.*)$`).FindAllStringSubmatch(recipe, -1) {
		env = append(env, m[1])
	}
	require.Equal(t, settings, env)
	require.Contains(t, recipe, fmt.Sprintf("\nUSER %d:%d\n", owner, owner))
	for _, line := range []string{`ENTRYPOINT ["/pegpour"]`, `CMD ["serve"]`, "VOLUME /data", "EXPOSE 8080/tcp", "STOPSIGNAL SIGTERM"} {
		require.True(t, slices.Contains(strings.Split(recipe, "\n"), line), line)
	}
	require.Equal(t, 2, strings.Count(recipe, fmt.Sprintf("--chown=%d:%d --chmod=0700", owner, owner)))
	require.NotContains(t, recipe, "\nRUN ", "there is no shell to run anything")
}
