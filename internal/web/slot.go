package web

import (
	"net/http"
	"strconv"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/slot"
	"whistlestop/internal/answer"
)

// The farthest that a slot that is asked for may lie from now, and its longest.
const (
	slotFar     = entry.Millis(7 * 24 * time.Hour / time.Millisecond)
	slotLongest = entry.Millis(24 * time.Hour / time.Millisecond)
)

// slot answers when a game will likely end.
func (s *Server) slot(w http.ResponseWriter, r *http.Request) {
	now := s.Bench.Now()
	set := slot.Settings{}
	for name, ask := range map[string]struct {
		into        *entry.Millis
		least, most entry.Millis
	}{
		"start_ms":  {&set.SlotStart, now - slotFar, now + slotFar},
		"length_ms": {&set.SlotLength, 60_000, slotLongest},
	} {
		text := r.URL.Query().Get(name)
		if text == "" {
			continue
		}
		value, err := strconv.ParseInt(text, 10, 64)
		if err != nil || entry.Millis(value) < ask.least || entry.Millis(value) > ask.most {
			s.problem(w, r, http.StatusBadRequest, kindUnreadable, s.text("slot.not_asked", "name", name, "text", answer.Clip(text)))
			return
		}
		*ask.into = entry.Millis(value)
	}
	update, err := s.Bench.State(r.Context(), r.PathValue("game"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, answer.EndOfSlotOf(update.State, now, set))
}
