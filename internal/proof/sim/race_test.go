//go:build race

package sim

const raced = true // the race detector makes it ten times slower
