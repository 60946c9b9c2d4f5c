// Command image lays out an OCI image of the server: the program, and the folders that
// it writes to, and nothing else. It needs no builder:
//
//	go run ./web/deploy/image -program build/pegpour -out build/pegpour-image.tar
//
// docker load, podman load and skopeo take the file.
package main

import (
	"archive/tar"
	"bytes"
	"crypto/sha256"
	"debug/elf"
	"encoding/hex"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"
)

// Owner is who the program runs as in the image.
const owner = 65532

// settings are those of the image; the Containerfile has the same.
var settings = []string{
	"PEGPOUR_ADDR=:8080", "PEGPOUR_DATA=/data", "PEGPOUR_INSECURE_HTTP=true", "PEGPOUR_LOG_FORMAT=json",
}

func main() {
	program := flag.String("program", "build/pegpour", "the server's `file`, linked statically")
	out := flag.String("out", "build/pegpour-image.tar", "`file` to write")
	flag.Parse()
	if err := write(*program, *out); err != nil {
		fmt.Fprintln(os.Stderr, "image:", err)
		os.Exit(1)
	}
}

// write lays out the image of a program.
func write(program, out string) error {
	architecture, err := architectureOf(program)
	if err != nil {
		return err
	}
	image, err := layOut(program, architecture)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(out), 0o755); err != nil {
		return err
	}
	return os.WriteFile(out, image, 0o644)
}

// architectureOf refuses a program that would not run in an image with nothing else.
func architectureOf(program string) (string, error) {
	f, err := elf.Open(program)
	if err != nil {
		return "", fmt.Errorf("%s is no program for Linux: %w", program, err)
	}
	defer f.Close()
	for _, p := range f.Progs {
		if p.Type == elf.PT_INTERP {
			return "", fmt.Errorf("%s needs libraries: build it with CGO_ENABLED=0", program)
		}
	}
	known := map[elf.Machine]string{elf.EM_X86_64: "amd64", elf.EM_AARCH64: "arm64", elf.EM_RISCV: "riscv64"}
	if a := known[f.Machine]; a != "" {
		return a, nil
	}
	return "", fmt.Errorf("%s is for %s, which is not known here", program, f.Machine)
}

// descriptor names a part of an image by its content.
type descriptor struct {
	MediaType   string            `json:"mediaType"`
	Digest      string            `json:"digest"`
	Size        int               `json:"size"`
	Annotations map[string]string `json:"annotations,omitempty"`
}

// layOut makes an archive with an image layout (OCI image specification 1.1).
func layOut(program, architecture string) ([]byte, error) {
	layer, err := layerOf(program)
	if err != nil {
		return nil, err
	}
	files := map[string][]byte{}
	var order []string
	put := func(name string, data []byte) { files[name], order = data, append(order, name) }
	blob := func(mediaType string, data []byte) descriptor {
		sum := sha256.Sum256(data)
		name := hex.EncodeToString(sum[:])
		put("blobs/sha256/"+name, data)
		return descriptor{MediaType: mediaType, Digest: "sha256:" + name, Size: len(data)}
	}
	put("oci-layout", []byte(`{"imageLayoutVersion":"1.0.0"}`))
	layerAt := blob("application/vnd.oci.image.layer.v1.tar", layer)
	config, err := json.Marshal(map[string]any{
		"architecture": architecture, "os": "linux",
		"config": map[string]any{
			"User": fmt.Sprintf("%d:%d", owner, owner), "Env": settings, "Entrypoint": []string{"/pegpour"}, "Cmd": []string{"serve"},
			"ExposedPorts": map[string]any{"8080/tcp": struct{}{}}, "Volumes": map[string]any{"/data": struct{}{}},
			"StopSignal": "SIGTERM", "WorkingDir": "/",
		},
		"rootfs": map[string]any{"type": "layers", "diff_ids": []string{layerAt.Digest}},
	})
	if err != nil {
		return nil, err
	}
	configAt := blob("application/vnd.oci.image.config.v1+json", config)
	manifest, err := json.Marshal(map[string]any{
		"schemaVersion": 2, "mediaType": "application/vnd.oci.image.manifest.v1+json", "config": configAt, "layers": []descriptor{layerAt},
	})
	if err != nil {
		return nil, err
	}
	manifestAt := blob("application/vnd.oci.image.manifest.v1+json", manifest)
	manifestAt.Annotations = map[string]string{"org.opencontainers.image.ref.name": "latest",
		"io.containerd.image.name": "localhost/pegpour:latest"}
	index, err := json.Marshal(map[string]any{"schemaVersion": 2, "mediaType": "application/vnd.oci.image.index.v1+json",
		"manifests": []descriptor{manifestAt}})
	if err != nil {
		return nil, err
	}
	put("index.json", index)
	// What "docker load" of before image layouts looks for.
	older, err := json.Marshal([]map[string]any{{"Config": "blobs/sha256/" + configAt.Digest[len("sha256:"):],
		"RepoTags": []string{"pegpour:latest"}, "Layers": []string{"blobs/sha256/" + layerAt.Digest[len("sha256:"):]}}})
	if err != nil {
		return nil, err
	}
	put("manifest.json", older)

	var out bytes.Buffer
	t := tar.NewWriter(&out)
	for _, folder := range []string{"blobs/", "blobs/sha256/"} {
		if err := t.WriteHeader(header(folder, tar.TypeDir, 0o755, 0, 0)); err != nil {
			return nil, err
		}
	}
	for _, name := range order {
		if err := t.WriteHeader(header(name, tar.TypeReg, 0o644, 0, int64(len(files[name])))); err != nil {
			return nil, err
		}
		if _, err := t.Write(files[name]); err != nil {
			return nil, err
		}
	}
	return out.Bytes(), t.Close()
}

// layerOf is the one layer: what stands in the image.
func layerOf(program string) ([]byte, error) {
	f, err := os.Open(program)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	t := tar.NewWriter(&out)
	err = errors.Join(
		t.WriteHeader(header("data/", tar.TypeDir, 0o700, owner, 0)),
		t.WriteHeader(header("tmp/", tar.TypeDir, 0o700, owner, 0)),
		t.WriteHeader(header("pegpour", tar.TypeReg, 0o755, 0, info.Size())),
	)
	if err != nil {
		return nil, err
	}
	if _, err := io.Copy(t, f); err != nil {
		return nil, err
	}
	return out.Bytes(), t.Close()
}

// header has no time of its own, so that equal programs make equal images.
func header(name string, kind byte, mode int64, owner int, size int64) *tar.Header {
	return &tar.Header{Name: name, Typeflag: kind, Mode: mode, Uid: owner, Gid: owner, Size: size, ModTime: time.Unix(0, 0),
		Format: tar.FormatPAX}
}
