package pocket

import (
	"context"
	"time"
)

// keepTimeEvery is how often the time is written while a clock runs.
const keepTimeEvery = 5 * time.Second

// KeepTime writes what time it is, at the start and while a clock runs. When the
// clocks of before were looked at, games that ran are doubted. While every clock stands
// it wakes nobody. It returns with the context.
func (b *Bench) KeepTime(ctx context.Context) {
	judged, written := !b.start.Doubt, false
	for wait := time.Duration(0); ; wait = keepTimeEvery {
		if written {
			select {
			case <-ctx.Done():
			case <-b.live.Runs():
			}
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(wait):
		}
		if !judged {
			if err := b.live.JudgeAll(ctx); err != nil {
				b.service.Logger.Warn("not every game was looked at after the start; trying again", "error", err)
				continue
			}
			judged = true
		}
		running := b.live.Running()
		if written && len(running) == 0 {
			continue
		}
		now := b.live.Now()
		// Without a clock that runs, nothing that was started since can be unknown: before
		// one is started the next writing is at most five seconds away, and doubts it.
		if err := b.time.Write(now, b.start.OwnAt(now), running, false); err != nil {
			b.service.Logger.Error("the time cannot be written; a clock that runs will be doubted after a restart", "error", err)
		}
		written = true
	}
}

// Close ends all games. What was answered is safe.
func (b *Bench) Close() {
	b.live.Close()
	b.hub.Close()
}
