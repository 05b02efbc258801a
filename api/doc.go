// Package published has the contracts that the project publishes, each once: the
// description of the API (OpenAPI 3.1) and the JSON Schemas of a ledger and of a
// report. tools/contract makes them from the program's own types; do not edit them.
//
//	w.Write(published.API)
package published

import _ "embed"

// API is the description of the API, as OpenAPI 3.1.
//
//go:embed openapi.json
var API []byte
