//go:build !race

package sim

const raced = false // the race detector would make it ten times slower
