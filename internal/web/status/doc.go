// Package status remembers with which status a handler answered, for whoever counts or
// follows answers.
//
//	seen := status.Of(w)
//	next.ServeHTTP(seen, r)
//	count(seen.Status)
package status
