// Package disk is what a yard asks of the disk that its files lie on: that nobody else
// uses a folder, how much room there is, and folders for what does not stay.
package disk

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"time"
)

// ErrInUse: another server holds the folder.
var ErrInUse = errors.New("another server uses this folder")

// lockName is the file in the folder by which a server holds it.
const lockName = "server.lock"

// Lock holds a folder for one process. The system lets go of it when the process
// ends, however it ends; the file that stays says nothing.
type Lock struct{ file *os.File }

// lockFile takes a lock that ends with the program; false where another has it.
func lockFile(f *os.File) bool {
	taken, err := flock(f)
	return taken && err == nil
}

// Hold takes the folder. Errors: ErrInUse.
func Hold(folder string) (*Lock, error) {
	name := filepath.Join(folder, lockName)
	f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	taken, err := flock(f)
	if err == nil && !taken {
		said := make([]byte, 200)
		n, _ := f.ReadAt(said, 0)
		err = fmt.Errorf("%w: %s, %s", ErrInUse, folder, strings.TrimSpace(string(said[:n])))
	}
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	text := fmt.Sprintf("process %d since %s\n", os.Getpid(), time.Now().UTC().Format(time.RFC3339))
	if err = f.Truncate(0); err == nil {
		_, err = f.WriteAt([]byte(text), 0)
	}
	if err != nil && !errors.Is(err, syscall.ENOSPC) { // who holds it need not be known
		return nil, errors.Join(err, f.Close())
	}
	return &Lock{f}, nil
}

// Release lets go of the folder; of none, and again, it does nothing.
func (l *Lock) Release() error {
	if l == nil || l.file == nil {
		return nil
	}
	err := l.file.Close()
	l.file = nil
	return err
}
