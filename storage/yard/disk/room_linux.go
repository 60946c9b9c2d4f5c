package disk

import (
	"syscall"
	"time"
)

// Free is the room on the disk of a folder, in bytes; -1 where it cannot be told.
func Free(folder string) int64 {
	var disk syscall.Statfs_t
	if syscall.Statfs(folder, &disk) != nil {
		return -1
	}
	return int64(disk.Bavail) * int64(disk.Bsize)
}

// workBegins is how long it may take from making a folder to locking it.
const workBegins = time.Second
