// Package earlier keeps the programs that a server had before its newest, so that a phone
// which has one of them is sent what changed and not the whole.
//
// A binary holds one version. So each start puts its programs into a folder and finds there
// those of the versions before; what leads from each of them to today's is made in the
// background, once, and kept too. A phone whose version is none of these, or that comes
// before the delta is made, fetches the whole, as from a server that keeps nothing. For
// programs of 16 MB a delta takes two seconds of one processor and 130 MB, one at a time.
package earlier

import (
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/andybalholm/brotli"

	"pegpour/web/bundle"
	"pegpour/web/delta"
	"pegpour/web/wholefile"
)

// versions of each program that are kept besides today's.
const versions = 3

const (
	packedForm = ".br"
	deltaForm  = ".delta.br"
)

// programName is the name of a program in a bundle: what it is and the beginning of its
// digest.
var programName = regexp.MustCompile(`^([a-z]+)\.[0-9a-f]{16}\.wasm$`)

// Programs are those of earlier versions in a folder.
type Programs struct {
	folder string
	now    map[string][]byte // today's in brotli, by name
	log    *slog.Logger

	mu     sync.RWMutex
	deltas map[string][]byte // in brotli, by the names of the old and the new program
}

// Keep puts the programs of a bundle into the folder, takes out those of versions long
// ago, and returns what can be sent in the place of a whole program.
func Keep(folder string, b *bundle.Bundle, log *slog.Logger) (*Programs, error) {
	p := &Programs{folder: folder, now: map[string][]byte{}, log: log, deltas: map[string][]byte{}}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, err
	}
	for _, f := range b.Contents.Files {
		if !programName.MatchString(f.Name) {
			continue
		}
		p.now[f.Name] = b.Brotli(f.Name)
		file := filepath.Join(folder, f.Name+packedForm)
		if _, err := os.Stat(file); err == nil {
			err = os.Chtimes(file, time.Time{}, time.Now()) // the newest again
			if err != nil {
				return nil, err
			}
		} else if err := write(file, p.now[f.Name]); err != nil {
			return nil, err
		}
	}
	return p, p.sweep()
}

// sweep removes all but the newest of the earlier versions of each program, and what leads
// to programs that are not today's. Whatever else stands in the folder is somebody's.
func (p *Programs) sweep() error {
	entries, err := os.ReadDir(p.folder)
	if err != nil {
		return err
	}
	kept := map[string]int{}
	for _, e := range newestFirst(entries) {
		stays := true
		if old, next, ok := deltaOf(e.Name()); ok {
			stays = p.now[next] != nil && exists(filepath.Join(p.folder, old+packedForm))
		} else if name, ok := strings.CutSuffix(e.Name(), packedForm); ok && programName.MatchString(name) {
			kind, _, _ := strings.Cut(name, ".")
			if p.now[name] == nil {
				kept[kind]++
			}
			stays = kept[kind] <= versions
		}
		if !stays {
			if err := os.Remove(filepath.Join(p.folder, e.Name())); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return err
			}
		}
	}
	return nil
}

func write(file string, content []byte) error {
	return wholefile.Write(file, func(to io.Writer) error {
		_, err := to.Write(content)
		return err
	})
}

func exists(file string) bool {
	_, err := os.Stat(file)
	return err == nil
}

// newestFirst has programs before deltas, and the newest of each first.
func newestFirst(entries []fs.DirEntry) []fs.DirEntry {
	changed := func(e fs.DirEntry) time.Time {
		if info, err := e.Info(); err == nil {
			return info.ModTime()
		}
		return time.Time{}
	}
	slices.SortStableFunc(entries, func(a, b fs.DirEntry) int {
		if da, db := strings.HasSuffix(a.Name(), deltaForm), strings.HasSuffix(b.Name(), deltaForm); da != db {
			if da {
				return 1
			}
			return -1
		}
		return changed(b).Compare(changed(a))
	})
	return entries
}

func deltaOf(file string) (old, next string, ok bool) {
	names, ok := strings.CutSuffix(file, deltaForm)
	if !ok {
		return "", "", false
	}
	old, next, ok = strings.Cut(names, "-")
	return old, next, ok && programName.MatchString(old) && programName.MatchString(next)
}

// Delta returns what leads from one program to another, in brotli; nil where there is
// nothing (yet).
func (p *Programs) Delta(old, next string) []byte {
	p.mu.RLock()
	defer p.mu.RUnlock()
	return p.deltas[old+"-"+next]
}

// Run makes the deltas from all that is kept, the newest first, one after another, until
// they are made or the context ends.
func (p *Programs) Run(ctx context.Context) {
	defer debug.FreeOSMemory() // what they took is not wanted again
	entries, err := os.ReadDir(p.folder)
	if err != nil {
		p.log.Error("earlier programs could not be listed", "error", err)
		return
	}
	for _, e := range newestFirst(entries) {
		old, ok := strings.CutSuffix(e.Name(), packedForm)
		if !ok || !programName.MatchString(old) || p.now[old] != nil {
			continue
		}
		kind, _, _ := strings.Cut(old, ".")
		for next := range p.now {
			if !strings.HasPrefix(next, kind+".") {
				continue
			}
			if ctx.Err() != nil {
				return
			}
			if err := p.make(old, next); err != nil {
				p.log.Error("what changed in a program could not be found out", "from", old, "to", next, "error", err)
			}
		}
	}
}

// make makes one delta, or takes it from the folder. One that is no smaller than the
// program is not kept.
func (p *Programs) make(old, next string) error {
	file := filepath.Join(p.folder, old+"-"+next+deltaForm)
	packed, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		if packed, err = p.compare(old, next); err == nil {
			err = write(file, packed)
		}
	}
	if err != nil || len(packed) >= len(p.now[next]) {
		return err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.deltas[old+"-"+next] = packed
	p.log.Info("what changed in a program is ready", "from", old, "to", next, "bytes", len(packed))
	return nil
}

func (p *Programs) compare(old, next string) ([]byte, error) {
	kept, err := os.ReadFile(filepath.Join(p.folder, old+packedForm))
	if err != nil {
		return nil, err
	}
	was, err := io.ReadAll(brotli.NewReader(bytes.NewReader(kept)))
	if err != nil {
		return nil, err
	}
	is, err := io.ReadAll(brotli.NewReader(bytes.NewReader(p.now[next])))
	if err != nil {
		return nil, err
	}
	var packed bytes.Buffer
	w := brotli.NewWriterLevel(&packed, 9)
	if _, err := w.Write(delta.Diff(was, is)); err != nil {
		return nil, err
	}
	err = w.Close()
	return packed.Bytes(), err
}
