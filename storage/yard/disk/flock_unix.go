//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package disk

import (
	"errors"
	"os"
	"syscall"
)

// flock takes a file for this opening of it, without waiting.
func flock(f *os.File) (taken bool, err error) {
	for {
		err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
		if err != syscall.EINTR {
			break
		}
	}
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return false, nil
	}
	return err == nil, err
}
