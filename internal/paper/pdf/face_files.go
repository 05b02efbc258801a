//go:build !js

package pdf

import _ "embed"

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
	{name: usual, drawn: latin, file: byStyle(&regular, &bold)},
	{name: second, drawn: further, file: byStyle(&furtherRegular, &furtherBold)},
	{name: third, drawn: hanKanaHangul, file: unpacked(func() []byte { return easternPacked })},
}
