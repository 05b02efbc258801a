package main

import (
	"context"
	"path/filepath"
	"sync"
	"time"

	"whistlestop/internal/folder/privatefile"
)

// healthLasts is for how long an answer about the disk is trusted: whoever asks
// again and again must not keep the disk busy.
const healthLasts = 10 * time.Second

// health says whether the games' folder takes entries: the database answers, and
// a small file beside it can be written to the disk.
type health struct {
	program *Program

	mutex sync.Mutex
	asked time.Time
	known error
}

func (h *health) check(ctx context.Context) error {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	if !h.asked.IsZero() && time.Since(h.asked) < healthLasts {
		return h.known
	}
	_, err := h.program.store.Games(context.WithoutCancel(ctx))
	if err == nil {
		err = privatefile.At(filepath.Join(h.program.folder, "health.txt")).Write([]byte("This file shows that the disk takes writes.\n"))
	}
	h.asked, h.known = time.Now(), err
	return err
}
