//go:build !js

package pdf

import (
	_ "embed"

	"whistlestop/internal/paper/letters"
)

//go:embed fonts/BarlowCondensed_400Regular.ttf
var regular []byte

//go:embed fonts/BarlowCondensed_700Bold.ttf
var bold []byte

//go:embed fonts/RobotoCondensed_400Regular.ttf
var furtherRegular []byte

//go:embed fonts/RobotoCondensed_700Bold.ttf
var furtherBold []byte

//go:embed fonts/DroidSansFallback.ttf.gz
var easternPacked []byte

// faces are tried in their order, letter by letter.
var faces = []typeface{
	{name: usual, drawn: letters.Latin, file: byStyle(&regular, &bold)},
	{name: second, drawn: letters.Further, file: byStyle(&furtherRegular, &furtherBold)},
	{name: third, drawn: letters.HanKanaHangul, file: unpacked(func() []byte { return easternPacked })},
}
