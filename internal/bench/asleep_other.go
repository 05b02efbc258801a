//go:build !linux

package bench

import (
	"time"

	"whistlestop/game/entry"
)

var started = time.Now()

// Asleep returns by how much the time of day went on faster than the clock that
// stands still in a sleep, in milliseconds, and never less than before. Setting
// the time of day forward looks like a sleep too: then somebody is asked once
// too often.
func Asleep() entry.Millis {
	now := time.Now()
	return max(0, entry.Millis((now.Round(0).Sub(started.Round(0)) - now.Sub(started)).Milliseconds()))
}
