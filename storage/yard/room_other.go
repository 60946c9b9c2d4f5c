//go:build !linux

package yard

// freeOn is the room on the disk of a folder; -1: it cannot be told here.
func freeOn(string) int64 { return -1 }
