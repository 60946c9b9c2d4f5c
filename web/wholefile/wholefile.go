// Package wholefile writes files so that a reader sees all of one or nothing,
// and a write that fails leaves what was there before.
package wholefile

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// Write makes or replaces a file with what write writes; where anything fails,
// the file stays as it was. A file that is replaced keeps its permissions. What
// is no file, such as a terminal or a pipe, is written to as it stands.
func Write(name string, write func(io.Writer) error) error {
	before, err := os.Stat(name)
	if errors.Is(err, fs.ErrNotExist) {
		return Make(name, func(part string) error { return writeInto(part, write) })
	}
	if err != nil {
		return err
	}
	if !before.Mode().IsRegular() {
		return writeInto(name, write)
	}
	if name, err = filepath.EvalSymlinks(name); err != nil { // a link stays and leads to the new one
		return err
	}
	return Make(name, func(part string) error {
		if err := writeInto(part, write); err != nil {
			return err
		}
		return os.Chmod(part, before.Mode().Perm())
	})
}

// Make has a file made in a folder of its own beside the name, and moves it to
// the name when make has succeeded. Nothing is left of what else make puts there.
func Make(name string, make func(part string) error) error {
	folder, err := os.MkdirTemp(filepath.Dir(name), ".part-*")
	if err != nil {
		if at := (*fs.PathError)(nil); errors.As(err, &at) {
			at.Path = name // that is what was asked for
		}
		return err
	}
	defer os.RemoveAll(folder)
	part := filepath.Join(folder, filepath.Base(name))
	if err := make(part); err != nil {
		return err
	}
	return os.Rename(part, name)
}

func writeInto(name string, write func(io.Writer) error) error {
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	return errors.Join(write(f), f.Close())
}
