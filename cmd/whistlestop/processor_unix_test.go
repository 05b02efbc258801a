//go:build unix

package main

import (
	"syscall"
	"time"
)

// processorTime is how long this process had a processor so far.
func processorTime() (time.Duration, bool) {
	var usage syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &usage); err != nil {
		return 0, false
	}
	return time.Duration(usage.Utime.Nano() + usage.Stime.Nano()), true
}
