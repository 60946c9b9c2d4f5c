// Package bundle serves one built version of the browser app: a page, a
// service worker and a set of files, each named by its own content, packed
// small ahead of time. The bundle is read once from a folder or from files
// embedded in the server and answers from memory.
package bundle

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strings"
)

// AssetPrefix is the address under which every content-named file is served.
// A name under it never changes its content, so that it may be kept for ever.
const AssetPrefix = "/a/"

// WorkerPath is the address of the service worker. It stands at the root, so
// that the worker answers for every address of the site.
const WorkerPath = "/worker.js"

// ContentsFile is the name of the list of contents within a bundle.
const ContentsFile = "contents.json"

// ErrNotBuilt says that the folder holds no bundle: the browser app has not
// been built yet.
var ErrNotBuilt = errors.New("the browser app is not built: run make build")

// Contents lists a bundle: what its version is and what belongs to it.
type Contents struct {
	// Version is derived from the content of everything in the bundle. Two
	// bundles with one version are the same.
	Version string `json:"version"`
	// Page is the name of the file that answers every address of the app.
	Page string `json:"page"`
	// Script is the one script that stands in the page itself, as a content
	// security policy names it; see [ScriptSource].
	Script string `json:"script"`
	// Worker is the name of the file served at WorkerPath.
	Worker string `json:"worker"`
	// Wasm is the name of the program itself.
	Wasm string `json:"wasm"`
	// Files are all files, the page and the worker among them.
	Files []File `json:"files"`
}

// ScriptSource names a script by its content, as Content Security Policy level 2
// does in script-src: https://www.w3.org/TR/CSP2/#script-src-hash-usage
func ScriptSource(script []byte) string {
	digest := sha256.Sum256(script)
	return "'sha256-" + base64.StdEncoding.EncodeToString(digest[:]) + "'"
}

// File is one file of a bundle.
type File struct {
	// Name holds the first 16 hexadecimal digits of the SHA-256 of the
	// content, so that a changed file has another name.
	Name string `json:"name"`
	// Type is the media type it is served with.
	Type string `json:"type"`
	// Size is the number of bytes before packing.
	Size int `json:"size"`
	// SHA256 is the digest of the content before packing, in hexadecimal.
	SHA256 string `json:"sha256"`
	// Packed says that the file is kept as Name.br and Name.gz, not as Name.
	Packed bool `json:"packed"`
}

// Bundle is a bundle read into memory, ready to be served.
type Bundle struct {
	Contents Contents
	// Changes returns what leads from an older program to one of the bundle, in brotli,
	// or nil; it may be nil itself.
	Changes func(old, next string) []byte

	files map[string]*storedFile
}

// Brotli returns a packed file of the bundle as it is kept, nil where it is none.
func (b *Bundle) Brotli(name string) []byte {
	if f := b.files[name]; f != nil {
		return f.brotli
	}
	return nil
}

// storedFile holds a file in the forms in which it can be sent.
type storedFile struct {
	File
	plain, brotli, gzip []byte
}

// Open reads the bundle in dir. It returns an error that wraps ErrNotBuilt
// when there is none, and another when a file that the contents list is
// missing or has a name that leads outside.
func Open(dir fs.FS) (*Bundle, error) {
	list, err := fs.ReadFile(dir, ContentsFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%w (no %s)", ErrNotBuilt, ContentsFile)
	}
	if err != nil {
		return nil, err
	}
	b := &Bundle{files: map[string]*storedFile{}}
	if err := json.Unmarshal(list, &b.Contents); err != nil {
		return nil, fmt.Errorf("reading %s: %w", ContentsFile, err)
	}
	for _, f := range b.Contents.Files {
		if f.Name != path.Base(f.Name) || strings.HasPrefix(f.Name, ".") {
			return nil, fmt.Errorf("%s lists %q, which is not a plain file name", ContentsFile, f.Name)
		}
		stored := &storedFile{File: f}
		if err := stored.read(dir); err != nil {
			return nil, fmt.Errorf("bundle %s is incomplete: %w", b.Contents.Version, err)
		}
		b.files[f.Name] = stored
	}
	for _, name := range []string{b.Contents.Page, b.Contents.Worker} {
		if b.files[name] == nil {
			return nil, fmt.Errorf("bundle %s is incomplete: %q is not among its files", b.Contents.Version, name)
		}
	}
	return b, nil
}

func (f *storedFile) read(dir fs.FS) (err error) {
	if !f.Packed {
		f.plain, err = fs.ReadFile(dir, f.Name)
		return err
	}
	if f.brotli, err = fs.ReadFile(dir, f.Name+".br"); err != nil {
		return err
	}
	f.gzip, err = fs.ReadFile(dir, f.Name+".gz")
	return err
}
