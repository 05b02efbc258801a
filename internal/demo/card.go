package demo

import (
	_ "embed"

	"whistlestop/game/card"
)

//go:embed cards/saltworks.toml
var saltworks []byte

// Card is the rink card of the invented console of Saltworks Arena.
func Card() card.File {
	file := card.NewFile("saltworks.toml", saltworks)
	file.Demo = true
	return file
}
