package main

import (
	"context"
	"path/filepath"
	"sync"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/bench"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/restart"
)

// timeFile keeps the newest instant that the bench knew, beside the games.
const timeFile = "instant.json"

// keepTimeEvery is how often it is written while a clock runs: by so much at most
// the last reading that is known is older than the end of the program.
const keepTimeEvery = 5 * time.Second

// beginTime finds out what time it is, and what is known of the time since the
// program ended. The clock that it returns never steps.
func (p *Program) beginTime() bench.Clock {
	if games, err := p.store.Games(context.Background()); err == nil && len(games) == 0 {
		p.unplayed = true
	}
	var err error
	read := p.clocks
	if read == nil {
		read = restart.Read
	}
	p.time, p.start, err = restart.Open(privatefile.At(filepath.Join(p.folder, timeFile)), read)
	if err != nil {
		p.logger.Warn("the newest instant that was written cannot be read", "error", err)
	}
	if p.unplayed {
		p.start.Doubt = false
	}
	switch found := p.start; {
	case found.Step > 0:
		p.tellTime("start.clock_forward", found.Step)
	case found.Step < 0:
		p.tellTime("start.clock_back", found.Step)
	case found.Behind:
		p.tellTime("start.clock_behind", found.Kept-found.Now)
	}
	return bench.SteadyClockAt(p.start.Now)
}

// since is what the bench has to know of it.
func (p *Program) since() bench.Restart {
	return bench.Restart{
		Doubt: p.start.Doubt, Kept: p.start.Kept, Counted: p.start.Counted, Since: p.start.Since,
		Step: p.start.Step, Running: p.start.Running,
	}
}

func (p *Program) tellTime(key string, long entry.Millis) {
	count, unit := rules.Span(long)
	p.tell(rules.Say{Key: key, Args: rules.Pairs("count", count, "unit", unit)})
}

// keepTime writes what time it is, at the start, while a clock runs, and at the
// end. A step that was found counts as known only when every game that it touches
// was looked at: a program that ends before finds it again.
func (p *Program) keepTime() {
	ctx, cancel := context.WithCancel(context.Background())
	var group sync.WaitGroup
	group.Go(func() {
		all, written := !p.start.Doubt, false
		for wait := time.Duration(0); ; wait = keepTimeEvery {
			select {
			case <-ctx.Done():
				if all {
					p.writeTime(true)
				}
				return
			case <-time.After(wait):
			}
			if !all {
				if err := p.live.JudgeAll(ctx); err != nil {
					p.logger.Warn("not every game was looked at after the computer's clock was set; trying again", "error", err)
					continue
				}
				all = true
			}
			if !written || len(p.live.Running()) > 0 {
				p.writeTime(false)
				written = true
			}
		}
	})
	p.timeKept = func() { cancel(); group.Wait() }
}

func (p *Program) writeTime(ends bool) {
	now := p.live.Now()
	if err := p.time.Write(now, p.start.OwnAt(now), p.live.Running(), ends); err != nil {
		p.logger.Error("the time cannot be written; a clock that runs will be doubted after a restart",
			"error", err)
	}
}
