package main

import (
	"context"
	"slices"
	"strconv"
	"sync"

	"whistlestop/game/message"
	"whistlestop/game/rules"
	"whistlestop/internal/mirror"
)

// comparing compares the games against their copies while the bench serves already: a
// season of games would keep people waiting for the one that is on. A game that
// somebody asks for comes first.
type comparing struct {
	program *Program
	begin   sync.Once
	folders []copyFolder

	mutex sync.Mutex
	total int // games that are to be held against their copies; 0: not known yet
	ended bool
}

type copyFolder struct {
	own   bool
	games map[string]string // id to file
}

// list lists the copies, once, and takes those that are in no file of a game's own
// name: they may have any game.
func (h *comparing) list(ctx context.Context) {
	p := h.program
	for i, folder := range p.copyTo {
		games, others, err := mirror.Copies(p.systemDisk(), folder)
		if err != nil {
			p.tell(rules.Say{Key: "start.not_compared", Args: rules.Pairs("folder", folder, "why", message.Inside(err))})
			continue
		}
		h.folders = append(h.folders, copyFolder{own: i == 0, games: games})
		for _, file := range others {
			h.file(ctx, file, i == 0)
		}
	}
}

func (h *comparing) file(ctx context.Context, path string, own bool) {
	p := h.program
	for _, found := range mirror.Compare(ctx, p.store, p.systemDisk(), p.marks, path) {
		p.weigh(ctx, found, own)
	}
}

// game holds one game against its copies, and the record of its head.
func (h *comparing) game(ctx context.Context, game string) {
	h.begin.Do(func() { h.list(ctx) })
	p := h.program
	for _, folder := range h.folders {
		if path, there := folder.games[game]; there {
			h.file(ctx, path, folder.own)
		}
	}
	if err := p.heads.KeepHead(ctx, p.store, game); err != nil {
		p.logger.Error("look for a missing end", "game", game, "error", err)
	}
}

// all holds every game against its copies that was not yet, the newest first, and
// then names the ends that are missing.
func (h *comparing) all(ctx context.Context) {
	p := h.program
	games, err := p.store.Games(ctx)
	if err != nil {
		p.logger.Error("list the games to hold against their copies", "error", err)
	}
	h.begin.Do(func() { h.list(ctx) })
	for _, folder := range h.folders { // a game may be left in a copy only
		for game := range folder.games {
			games = append(games, game)
		}
	}
	known := map[string]bool{}
	games = slices.DeleteFunc(games, func(game string) bool {
		again := known[game]
		known[game] = true
		return again
	})
	h.mutex.Lock()
	h.total = len(games)
	h.mutex.Unlock()
	for _, game := range games {
		if p.first.Checked(ctx, game) != nil {
			return // the program ends
		}
	}
	p.missing(ctx)
	h.mutex.Lock()
	h.ended = true
	h.mutex.Unlock()
}

// toldAtStart is what the start found so far, and how far it is.
func (p *Program) toldAtStart() []rules.Say {
	p.foundMutex.Lock()
	told := slices.Clone(p.found)
	p.foundMutex.Unlock()
	if h := p.comparing; h != nil {
		h.mutex.Lock()
		defer h.mutex.Unlock()
		if !h.ended {
			told = append([]rules.Say{{Key: "start.comparing", Args: rules.Pairs(
				"done", strconv.Itoa(p.first.Done()), "total", strconv.Itoa(h.total))}}, told...)
		}
	}
	return told
}

// compareAll begins to hold all games against their copies, behind what people ask.
func (p *Program) compareAll() {
	ctx, cancel := context.WithCancel(context.Background())
	var group sync.WaitGroup
	group.Go(func() {
		if p.comparing != nil {
			p.comparing.all(ctx)
		}
		p.takeOutAgain(ctx)
	})
	p.compared = func() { cancel(); group.Wait() }
}
