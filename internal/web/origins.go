package web

import "net/http"

// forPages lets a page of another origin read, as a guest whatever the browser is
// to the bench otherwise: the page is a stranger also on the bench's own computer.
func (s *Server) forPages(w http.ResponseWriter, r *http.Request, next http.Handler) {
	h := w.Header()
	h.Set("Access-Control-Allow-Origin", "*")
	h.Set("Cross-Origin-Resource-Policy", "cross-origin")
	h.Add("Vary", "Origin")
	if r.Method == http.MethodOptions {
		h.Set("Access-Control-Allow-Methods", "GET, HEAD")
		h.Set("Access-Control-Max-Age", "600")
		if r.Header.Get("Access-Control-Request-Private-Network") == "true" {
			h.Set("Access-Control-Allow-Private-Network", "true")
		}
		w.WriteHeader(http.StatusNoContent)
		return
	}
	next.ServeHTTP(w, asGuest(r))
}
