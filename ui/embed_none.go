//go:build no_ui

package ui

import (
	"embed"
	"io/fs"
)

// Files returns an empty file system: this program was built without its front
// end.
func Files() fs.FS { return embed.FS{} }
