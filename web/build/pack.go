package main

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/andybalholm/brotli"

	"pegpour/web/bundle"
	"pegpour/web/wholefile"
)

// pack writes a file in both packed forms. A form made before of the same
// content at the same quality is taken from the cache: packing the program
// well takes half a minute.
func (a *assembly) pack(file bundle.File, content []byte) error {
	gzipLevel := gzip.BestCompression
	if a.quality < 9 {
		gzipLevel = gzip.BestSpeed
	}
	forms := []struct {
		extension string
		quality   int
		pack      func(io.Writer) (io.WriteCloser, error)
	}{
		{".br", a.quality, func(w io.Writer) (io.WriteCloser, error) {
			return brotli.NewWriterOptions(w, brotli.WriterOptions{Quality: a.quality, LGWin: 24}), nil
		}},
		{".gz", gzipLevel, func(w io.Writer) (io.WriteCloser, error) {
			return gzip.NewWriterLevel(w, gzipLevel)
		}},
	}
	for _, form := range forms {
		kept := filepath.Join(a.cache, fmt.Sprintf("%s-%d%s", file.SHA256, form.quality, form.extension))
		packed, err := os.ReadFile(kept)
		if err != nil {
			var out bytes.Buffer
			w, err := form.pack(&out)
			if err != nil {
				return err
			}
			if _, err := w.Write(content); err != nil {
				return err
			}
			if err := w.Close(); err != nil {
				return err
			}
			packed = out.Bytes()
			if err := wholefile.Write(kept, func(w io.Writer) error { _, err := w.Write(packed); return err }); err != nil {
				return err
			}
		}
		if err := os.WriteFile(filepath.Join(a.out, file.Name+form.extension), packed, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// replaceFolder puts fresh in the place of old. A folder that holds the same
// bundle is left alone, so that the server around it need not be built again.
// The placeholder that keeps the folder in version control stays.
func replaceFolder(old, fresh string) error {
	defer os.RemoveAll(fresh)
	before, _ := os.ReadFile(filepath.Join(old, bundle.ContentsFile))
	after, err := os.ReadFile(filepath.Join(fresh, bundle.ContentsFile))
	if err != nil {
		return err
	}
	if bytes.Equal(before, after) && sameFiles(old, fresh) {
		return nil
	}
	if err := os.MkdirAll(old, 0o755); err != nil {
		return err
	}
	existing, err := os.ReadDir(old)
	if err != nil {
		return err
	}
	for _, entry := range existing {
		if !strings.HasPrefix(entry.Name(), ".") {
			if err := os.Remove(filepath.Join(old, entry.Name())); err != nil {
				return err
			}
		}
	}
	made, err := os.ReadDir(fresh)
	if err != nil {
		return err
	}
	for _, entry := range made {
		if err := os.Rename(filepath.Join(fresh, entry.Name()), filepath.Join(old, entry.Name())); err != nil {
			return err
		}
	}
	return nil
}

// sameFiles reports whether every file of fresh is in old with the same size:
// names go by content, the size by how well it was packed.
func sameFiles(old, fresh string) bool {
	made, err := os.ReadDir(fresh)
	if err != nil {
		return false
	}
	for _, entry := range made {
		a, errA := os.Stat(filepath.Join(old, entry.Name()))
		b, errB := os.Stat(filepath.Join(fresh, entry.Name()))
		if errA != nil || errB != nil || a.Size() != b.Size() {
			return false
		}
	}
	return true
}

// report prints what the programs weigh and fails above a budget.
func report(o options, a *assembly) error {
	size := func(name string) int64 {
		info, err := os.Stat(filepath.Join(o.out, name))
		if err != nil {
			return 0
		}
		return info.Size()
	}
	var raw int
	for _, f := range a.contents.Files {
		if f.Name == a.contents.Wasm {
			raw = f.Size
		}
	}
	fmt.Printf("version %s: program %.2f MB, gzip %.2f MB\n",
		a.contents.Version, float64(raw)/1e6, float64(size(a.contents.Wasm+".gz"))/1e6)
	var heavy []error
	for _, p := range []struct {
		name, file string
		budget     int
	}{
		{"the program", a.contents.Wasm, o.budget},
		{"the program of the office", a.officeFile, max(officeBudget, o.budget-brotliBudget)},
		{"the program of building", a.buildingFile, max(buildingBudget, o.budget-brotliBudget)},
		{"the program that makes documents", a.papersFile, max(papersBudget, o.budget-brotliBudget)},
	} {
		if p.file == "" {
			continue
		}
		packed, allowed := size(p.file+".br"), float64(p.budget)
		if o.quality < 11 {
			allowed *= looser
		}
		fmt.Printf("%s: brotli %.3f MB of %.2f MB allowed\n", p.name, float64(packed)/1e6, allowed/1e6)
		if float64(packed) > allowed {
			heavy = append(heavy, fmt.Errorf("%s has %d bytes once packed, %.0f are allowed", p.name, packed, allowed))
		}
	}
	return errors.Join(heavy...)
}
