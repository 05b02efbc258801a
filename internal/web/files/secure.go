package files

import "net/http"

// Policy lets the pages of the front end load what they brought along and nothing else,
// and send no forms (Content Security Policy Level 3). Styles set on single elements
// are let through: a lane's bars are placed by them.
const Policy = "default-src 'none'; script-src 'self'; style-src 'self'; style-src-attr 'unsafe-inline'; " +
	"img-src 'self' data:; font-src 'self' data:; media-src 'self'; connect-src 'self'; manifest-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// Secure sets the headers that every answer of a server of the front end carries.
func Secure(h http.Header) {
	h.Set("Content-Security-Policy", Policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("X-Frame-Options", "DENY") // for browsers that do not know frame-ancestors
}
