//go:build !race

package rules_test

const raced = false
