package rulebook

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"github.com/BurntSushi/toml"
)

// decode reads TOML strictly. Its errors name the file, the line and the reason.
func decode(text []byte, name string, into any) error {
	meta, err := toml.NewDecoder(bytes.NewReader(text)).Decode(into)
	if err != nil {
		var parse toml.ParseError
		if errors.As(err, &parse) {
			return fmt.Errorf("%s, line %d: %s", name, parse.Position.Line, parse.Message)
		}
		return fmt.Errorf("%s: %s", name, strings.TrimPrefix(err.Error(), "toml: "))
	}
	if extra := meta.Undecoded(); len(extra) > 0 {
		key := extra[0].String()
		return fmt.Errorf("%s, line %d: there is no setting %q; take it out or mend its spelling",
			name, lineOf(text, extra[0][len(extra[0])-1]), key)
	}
	return nil
}

// lineOf finds the line on which a key is written, or 1.
func lineOf(text []byte, key string) int {
	for i, line := range strings.Split(string(text), "\n") {
		line = strings.TrimLeft(strings.TrimSpace(line), "[")
		if strings.HasPrefix(line, key) {
			return i + 1
		}
	}
	return 1
}
