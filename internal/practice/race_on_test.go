//go:build race

package practice_test

const underRace = true
