package locale

import "embed"

// In a page the screens bring their own words, and the engine has to be small: it
// carries only the files with words that its own packages say.
//
//go:embed messages/*/announce.json messages/*/card.json messages/*/chain.json messages/*/copy.json
//go:embed messages/*/drill.json messages/*/engine.json messages/*/file.json messages/*/invalid.json
//go:embed messages/*/program.json messages/*/rules.json messages/*/script.json
var files embed.FS
