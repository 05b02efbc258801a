package bench

import (
	"golang.org/x/sys/unix"

	"whistlestop/game/entry"
)

// Asleep returns how long this computer has slept since it was switched on, in
// milliseconds: one of the system's clocks goes on in a sleep, the other does
// not.
func Asleep() entry.Millis {
	var awake, all unix.Timespec
	if unix.ClockGettime(unix.CLOCK_MONOTONIC, &awake) != nil || unix.ClockGettime(unix.CLOCK_BOOTTIME, &all) != nil {
		return 0
	}
	return entry.Millis((all.Nano() - awake.Nano()) / 1_000_000)
}
