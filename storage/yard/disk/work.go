package disk

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"
)

// workPrefix is how the folders begin in which files are made that do not stay.
const workPrefix = "pegpour-work-"

// Work is such a folder. Whoever uses it holds a lock on it, so that those of killed
// programs are told from others.
type Work struct {
	Name string
	lock *os.File
}

// NewWork makes one. Remove it.
func NewWork() (Work, error) {
	name, err := os.MkdirTemp("", workPrefix)
	if err != nil {
		return Work{}, err
	}
	lock, err := os.Open(name)
	if err == nil && !lockFile(lock) {
		err = errors.Join(fmt.Errorf("%s cannot be locked", name), lock.Close())
	}
	if err != nil {
		return Work{}, errors.Join(err, os.RemoveAll(name))
	}
	return Work{name, lock}, nil
}

// Remove removes it with all that is in it.
func (w Work) Remove() {
	_ = os.RemoveAll(w.Name)
	_ = w.lock.Close()
}

// ClearWork removes what killed programs left of back-ups they were making.
func ClearWork() {
	left, _ := filepath.Glob(filepath.Join(os.TempDir(), workPrefix+"*"))
	for _, name := range left {
		f, err := os.Open(name)
		if err != nil {
			continue
		}
		if at, err := f.Stat(); err == nil && at.IsDir() && time.Since(at.ModTime()) > workBegins && lockFile(f) {
			_ = os.RemoveAll(name)
		}
		_ = f.Close()
	}
}
