//go:build !pocket && !press

package locale

import "embed"

// In a page the screens bring their own words, and the engine has to be small: it
// carries only the files with words that its own packages say, and of English only.
// A page that speaks another language hands over its words.
//
//go:embed messages/en/announce.json messages/en/card.json messages/en/chain.json messages/en/consolesay.json
//go:embed messages/en/copy.json messages/en/drill.json messages/en/engine.json messages/en/file.json
//go:embed messages/en/invalid.json messages/en/paper.json messages/en/program.json messages/en/record.json messages/en/rules.json
//go:embed messages/en/script.json messages/en/server.json
var files embed.FS
