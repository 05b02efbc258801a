package datafile

import (
	"bytes"

	"github.com/BurntSushi/toml"
)

// Encode is a value as the file that Decode reads.
func Encode(value any) ([]byte, error) {
	var text bytes.Buffer
	encoder := toml.NewEncoder(&text)
	encoder.Indent = ""
	err := encoder.Encode(value)
	return text.Bytes(), err
}
