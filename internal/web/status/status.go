package status

import "net/http"

// Seen is an answer whose status is remembered.
type Seen struct {
	http.ResponseWriter
	Status int // 200 until the handler says another
}

// Of remembers the status of an answer.
func Of(w http.ResponseWriter) *Seen { return &Seen{ResponseWriter: w, Status: http.StatusOK} }

// WriteHeader notes the status.
func (s *Seen) WriteHeader(status int) {
	s.Status = status
	s.ResponseWriter.WriteHeader(status)
}

// Unwrap lets a ResponseController through.
func (s *Seen) Unwrap() http.ResponseWriter { return s.ResponseWriter }
