package restart

import (
	"os"
	"strings"
	"time"

	"golang.org/x/sys/unix"

	"whistlestop/game/entry"
)

// bootID is where Linux names this start of the computer.
const bootID = "/proc/sys/kernel/random/boot_id"

// Read reads the computer's clocks.
func Read() Reading {
	r := Reading{Wall: entry.Millis(time.Now().UnixMilli())}
	var count unix.Timespec
	id, err := os.ReadFile(bootID)
	if err != nil || unix.ClockGettime(unix.CLOCK_BOOTTIME, &count) != nil {
		return r
	}
	r.Count, r.Boot = entry.Millis(count.Nano()/1_000_000), strings.TrimSpace(string(id))
	return r
}
