//go:build race

package rules_test

const raced = true // the race detector makes a fold ten times slower
