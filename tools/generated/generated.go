// Package generated writes the files that are made from the code, or looks
// whether those that stand are what would be made.
//
//	err := generated.Place("../docs/rules.md", text, check, `run "make rules-docs" and commit the result`)
package generated

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
)

// Place writes the text to the file; with check it writes nothing, and fails
// with what to do where the file says something else.
func Place(path string, text []byte, check bool, advice string) error {
	if !check {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		return os.WriteFile(path, text, 0o644)
	}
	standing, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	if !bytes.Equal(standing, text) {
		return fmt.Errorf("%s is not what the code makes: %s", path, advice)
	}
	return nil
}
