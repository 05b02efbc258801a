//go:build race

package main

// raced says that the race detector runs, which takes memory and time of its own.
const raced = true
