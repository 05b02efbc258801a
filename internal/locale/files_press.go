//go:build js && press

package locale

import "embed"

// What prints has the words of what it prints.
//
//go:embed messages/en/card.json messages/en/chain.json messages/en/command.json
//go:embed messages/en/file.json
//go:embed messages/en/invalid.json messages/en/paper.json messages/en/program.json messages/en/record.json
//go:embed messages/en/rules.json messages/en/season.json messages/en/server.json
var files embed.FS
