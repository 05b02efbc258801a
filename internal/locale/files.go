//go:build !js

package locale

import "embed"

//go:embed messages
var files embed.FS
