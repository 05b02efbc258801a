package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"

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
	for path, schema := range map[string]*jsonschema.Schema{
		contractFile: contract,
		ledgerFile:   Ledger(definitions),
		reportFile:   Report(definitions),
	} {
		if err := place(filepath.Join(root, path), schema, check); err != nil {
			return err
		}
	}
	return nil
}

// place writes the schema to the file, or compares it with what stands there.
func place(path string, schema *jsonschema.Schema, check bool) error {
	text, err := json.MarshalIndent(schema, "", "  ")
	if err != nil {
		return err
	}
	text = append(text, '\n')
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
