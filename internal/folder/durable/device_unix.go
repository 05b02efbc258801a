//go:build unix

package durable

import (
	"io/fs"
	"syscall"
)

// device is the number of the file system that a file is on.
func device(info fs.FileInfo) uint64 {
	if stat, ok := info.Sys().(*syscall.Stat_t); ok {
		return uint64(stat.Dev)
	}
	return 0
}
