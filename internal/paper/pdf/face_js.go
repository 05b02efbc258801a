package pdf

import (
	_ "embed"

	"whistlestop/internal/paper/letters"
)

//go:embed fonts/BarlowCondensed_400Regular.ttf
var regular []byte

//go:embed fonts/BarlowCondensed_700Bold.ttf
var bold []byte

// faces of the browser's engine: the usual one is part of it, which everybody loads who
// practises. The others are larger than all of the rest and come when a text needs
// them. A letter that only they have stands as a question mark until then, and the
// sheet says of which name.
var faces = []typeface{
	{name: usual, drawn: letters.Latin, file: byStyle(&regular, &bold)},
	{name: second, drawn: letters.Further, file: func(style string) []byte {
		if style == "B" {
			return came(letters.FurtherBoldFile)
		}
		return came(letters.FurtherFile)
	}, lacks: []string{letters.FurtherFile, letters.FurtherBoldFile}},
	{name: third, drawn: letters.HanKanaHangul, file: unpacked(func() []byte { return came(letters.EasternFile) }), lacks: []string{letters.EasternFile}},
}

// came is the content of a file that was taken.
func came(name string) []byte {
	content, _ := taken.Load(name)
	raw, _ := content.([]byte)
	return raw
}
