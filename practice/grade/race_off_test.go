//go:build !race

package grade

const underRace = false
