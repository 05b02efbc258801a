//go:build !linux

package restart

import (
	"time"

	"whistlestop/game/entry"
)

// Read reads the computer's clocks. Nothing here counts through a restart of the
// program, so a clock that ran meanwhile is always doubted.
func Read() Reading { return Reading{Wall: entry.Millis(time.Now().UnixMilli())} }
