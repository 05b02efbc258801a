//go:build js && pocket

package locale

import "embed"

// The pocket bench also says what reports lack.
//
//go:embed messages/en/announce.json messages/en/card.json messages/en/chain.json
//go:embed messages/en/copy.json messages/en/engine.json messages/en/file.json messages/en/hubcopy.json
//go:embed messages/en/invalid.json messages/en/paper.json messages/en/program.json messages/en/record.json messages/en/report.json
//go:embed messages/en/rules.json messages/en/season.json messages/en/server.json messages/en/wall.json
var files embed.FS
