package files

import (
	"net/http"
	"strings"
)

// Policy lets the pages of the front end load what they brought along and nothing else,
// and send no forms (Content Security Policy Level 3). Styles set on single elements
// are let through: a lane's bars are placed by them.
const Policy = "default-src 'none'; script-src 'self'; style-src 'self'; style-src-attr 'unsafe-inline'; " +
	"img-src 'self' data:; font-src 'self' data:; media-src 'self'; connect-src 'self'; manifest-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// PracticePolicy is the policy of the practice site, which runs the program's own
// engine in the browser. Beyond what the other pages may, it compiles WebAssembly
// ('wasm-unsafe-eval', which lets no text be run as a script), and keeps itself
// there: the engine's thread and the service worker are scripts of the site.
var PracticePolicy = strings.NewReplacer(
	"script-src 'self';", "script-src 'self' 'wasm-unsafe-eval'; worker-src 'self';",
).Replace(Policy)

// Secure sets the headers that every answer of a server of the front end carries.
func Secure(h http.Header) {
	h.Set("Content-Security-Policy", Policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("X-Frame-Options", "DENY") // for browsers that do not know frame-ancestors
}
