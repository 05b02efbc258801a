package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"github.com/google/jsonschema-go/jsonschema"
)

// The files that the generator writes, from the root of the repository.
const (
	contractFile = "ui/src/contract/schema.json"
	ledgerFile   = "docs/ledger.schema.json"
	reportFile   = "docs/report.schema.json"
)

func main() {
	root := flag.String("root", "..", "root of the repository")
	check := flag.Bool("check", false, "write nothing; fail when a committed file differs")
	flag.Parse()
	if err := run(*root, *check); err != nil {
		fmt.Fprintln(os.Stderr, "contract:", err)
		os.Exit(1)
	}
}

func run(root string, check bool) error {
	definitions, err := Definitions(root)
	if err != nil {
		return err
	}
	contract := &jsonschema.Schema{
		Schema:      draft,
		Title:       "Contract",
		Description: "Everything that the bench and its screens say to each other. Made from the Go types by tools/contract; do not edit.",
		Defs:        definitions,
	}
	described, err := OpenAPI(root)
	if err != nil {
		return err
	}
	files := map[string][]byte{openAPIFile: described, servedFile: described}
	for path, schema := range map[string]*jsonschema.Schema{
		contractFile: contract, ledgerFile: Ledger(definitions), reportFile: Report(definitions),
	} {
		text, err := json.MarshalIndent(schema, "", "  ")
		if err != nil {
			return err
		}
		files[path] = append(text, '\n')
	}
	for _, path := range slices.Sorted(maps.Keys(files)) {
		if err := place(filepath.Join(root, path), files[path], check); err != nil {
			return err
		}
	}
	return nil
}

// place writes the text to the file, or compares it with what stands there.
func place(path string, text []byte, check bool) error {
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
		return fmt.Errorf("%s does not match the Go types: run \"make contract\" and commit the result", path)
	}
	return nil
}
