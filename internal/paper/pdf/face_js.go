package pdf

import _ "embed"

//go:embed fonts/BarlowCondensed_400Regular.ttf
var regular []byte

//go:embed fonts/BarlowCondensed_700Bold.ttf
var bold []byte

// faces are those of the browser's engine, which everybody loads who practises: the
// other faces are larger than all of the rest. A letter that only they have stands as
// a question mark, and the sheet says of which name.
var faces = []typeface{{"Barlow Condensed", latin, byStyle(&regular, &bold)}}
