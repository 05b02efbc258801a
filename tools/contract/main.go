package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"github.com/google/jsonschema-go/jsonschema"

	"whistlestop/tools/generated"
)

// The files that the generator writes, from the root of the repository.
const (
	contractFile = "ui/src/base/contract/schema.json"
	ledgerFile   = "api/ledger.schema.json"
	reportFile   = "api/report.schema.json"
	formatsFile  = "ui/src/base/contract/formats.ts"
	rightsFile   = "ui/src/base/contract/rights.ts"
)

const advice = "run \"make contract\" and commit the result"

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
	files := map[string][]byte{openAPIFile: described, formatsFile: Downloads(), rightsFile: Rights()}
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
		if err := generated.Place(filepath.Join(root, path), files[path], check, advice); err != nil {
			return err
		}
	}
	return nil
}
