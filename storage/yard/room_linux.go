package yard

import "syscall"

// freeOn is the room on the disk of a folder, in bytes; -1 where it cannot be told.
func freeOn(folder string) int64 {
	var disk syscall.Statfs_t
	if syscall.Statfs(folder, &disk) != nil {
		return -1
	}
	return int64(disk.Bavail) * int64(disk.Bsize)
}
