//go:build race

package rota_test

// raced says that the race detector runs, which makes long sums many times longer.
const raced = true
