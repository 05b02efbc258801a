//go:build !no_ui

package ui

import (
	"embed"
	"io/fs"
)

//go:embed all:dist
var dist embed.FS

// Files returns the built front end, rooted at dist. It has no index.html when
// the front end was not built before the program.
func Files() fs.FS {
	files, err := fs.Sub(dist, "dist")
	if err != nil {
		panic(err) // "dist" is a valid name: it is embedded above
	}
	return files
}
