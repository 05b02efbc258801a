package locale

import "embed"

// In a page the screens bring their own words, and the engine has to be small: it
// carries only the files with words that its own packages say.
//
//go:embed messages/en/announce.json messages/en/card.json messages/en/copy.json messages/en/drill.json
//go:embed messages/en/engine.json messages/en/program.json messages/en/rules.json
var files embed.FS
