// Package ui holds the built front end: the pages and assets that the bundler
// leaves in dist, embedded so that the program is one file.
//
// Built with the tag no_ui the package embeds nothing, so that Go tests need no
// front-end build. In both cases a missing front end shows as an empty file
// system; whoever serves it says so in plain words.
//
//	files := ui.Files()
//	page, err := fs.ReadFile(files, "index.html")
package ui
