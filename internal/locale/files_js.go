package locale

import "embed"

// In a page the screens bring their own words, and the engine has to be small: it
// carries only the files that are read in Go.
//
//go:embed messages/en/announce.json messages/en/card.json messages/en/command.json messages/en/copy.json
//go:embed messages/en/drill.json messages/en/engine.json messages/en/paper.json messages/en/program.json
//go:embed messages/en/report.json messages/en/rules.json messages/en/season.json
var files embed.FS
