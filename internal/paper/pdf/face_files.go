//go:build !js

package pdf

import (
	"bytes"
	"compress/gzip"
	_ "embed"
	"io"
	"sync"
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

// eastern is the face of Chinese, Japanese and Korean letters. It is large, so it
// is packed, and unpacked for the first report that needs it.
var eastern = sync.OnceValue(func() []byte {
	in, err := gzip.NewReader(bytes.NewReader(easternPacked))
	if err != nil {
		panic(err) // it is part of the program
	}
	text, err := io.ReadAll(in)
	if err != nil {
		panic(err)
	}
	return text
})

// faces are tried in their order, letter by letter.
var faces = []typeface{
	{"Barlow Condensed", latin, byStyle(&regular, &bold)},
	{"Roboto Condensed", further, byStyle(&furtherRegular, &furtherBold)},
	{"Droid Sans Fallback", hanKanaHangul, func(string) []byte { return eastern() }},
}
