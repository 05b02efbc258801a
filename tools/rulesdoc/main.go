package main

import (
	"errors"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"whistlestop/tools/generated"
)

// The pages, and the folder of their drawings, from the root of the repository.
var pageFiles = []string{"docs/rules.md", "docs/rules-proof.md"}

const drawings = "docs/rules"

const advice = "run \"make rules-docs\", read the difference, and commit it"

func main() {
	root := flag.String("root", "..", "root of the repository")
	check := flag.Bool("check", false, "write nothing; fail when a committed file differs")
	flag.Parse()
	if err := run(*root, *check); err != nil {
		fmt.Fprintln(os.Stderr, "rulesdoc:", err)
		os.Exit(1)
	}
}

func run(root string, check bool) error {
	files, pictures := map[string][]byte{}, map[string][]byte{}
	for _, name := range pageFiles {
		page, err := os.ReadFile(filepath.Join(root, name))
		if err != nil {
			return err
		}
		made, drawn, err := Make(string(page))
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		files[name] = []byte(made)
		maps.Copy(pictures, drawn)
	}
	for name, picture := range pictures {
		files[filepath.Join(drawings, name)] = picture
	}
	var errs []error
	for _, name := range slices.Sorted(maps.Keys(files)) {
		errs = append(errs, generated.Place(filepath.Join(root, name), files[name], check, advice))
	}
	old, err := filepath.Glob(filepath.Join(root, drawings, "*.svg"))
	errs = append(errs, err)
	for _, name := range old {
		if _, made := pictures[filepath.Base(name)]; !made {
			errs = append(errs, unused(name, check))
		}
	}
	return errors.Join(errs...)
}

// unused takes away a drawing that no page shows any more.
func unused(name string, check bool) error {
	if check {
		return fmt.Errorf("%s is shown by no page: run \"make rules-docs\"", name)
	}
	return os.Remove(name)
}
