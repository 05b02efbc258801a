//go:build !js

package browser_test

import (
	"errors"
	"slices"

	"whistlestop/internal/store/browser"
)

// held is a handle in memory. Of what was not flushed, whoever lets it die decides
// what stays.
type held struct {
	content []byte
	safe    []byte // as it was flushed
	steps   *int   // that may still be done; nil: as many as there are
	room    int    // bytes; 0: as many as are written
}

var (
	errGone = errors.New("the handle was lost")
	errFull = errors.New("QuotaExceededError")
)

func (h *held) step() error {
	if h.steps == nil {
		return nil
	}
	if *h.steps == 0 {
		return errGone
	}
	*h.steps--
	return nil
}

func (h *held) Read() ([]byte, error) { return slices.Clone(h.content), h.step() }

func (h *held) Write(content []byte, at int64) error {
	err := h.step()
	if end := int(at) + len(content); h.room > 0 && end > h.room {
		content, err = content[:max(0, h.room-int(at))], errFull
	} else if err != nil {
		content = content[:len(content)/2] // it died in the middle
	}
	for len(h.content) < int(at)+len(content) {
		h.content = append(h.content, 0)
	}
	copy(h.content[at:], content)
	return err
}

func (h *held) Truncate(size int64) error {
	if err := h.step(); err != nil {
		return err
	}
	for len(h.content) < int(size) {
		h.content = append(h.content, 0)
	}
	h.content = h.content[:size]
	return nil
}

func (h *held) Flush() error {
	if err := h.step(); err != nil {
		return err
	}
	h.safe = slices.Clone(h.content)
	return nil
}

var _ browser.Handle = (*held)(nil)
