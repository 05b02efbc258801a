//go:build !unix

package main

import "time"

// processorTime is not known here.
func processorTime() (time.Duration, bool) { return 0, false }
