package postgres

import "github.com/jackc/pgx/v5"

// Trace tells a tracer what databases that are opened from now on are asked.
func Trace(t pgx.QueryTracer) { tracer = t }

// WhoWaits is how many lines of an association wait to go together.
func WhoWaits(s *Store, association string) int {
	s.queue.Lock()
	defer s.queue.Unlock()
	return len(s.queue.waits[association])
}
