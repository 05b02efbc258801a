package main

import (
	"bytes"
	"debug/buildinfo"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"

	cyclonedx "github.com/CycloneDX/cyclonedx-go"
)

// partsOf lists what the programs are made of, in the open form CycloneDX: Go's own
// version and each module as the programs themselves say, and the packages that end
// up in the pages.
func partsOf(root string, programs []string, version string) ([]byte, error) {
	list := map[string]cyclonedx.Component{}
	add := func(name, version, purl string) {
		list[purl] = cyclonedx.Component{BOMRef: purl, Type: cyclonedx.ComponentTypeLibrary, Name: name, Version: version, PackageURL: purl}
	}
	for _, program := range programs {
		info, err := buildinfo.ReadFile(program)
		if err != nil {
			return nil, err
		}
		add("std", info.GoVersion, "pkg:golang/std@"+strings.TrimPrefix(info.GoVersion, "go"))
		for _, m := range info.Deps {
			if m.Replace != nil {
				m = m.Replace
			}
			add(m.Path, m.Version, "pkg:golang/"+m.Path+"@"+m.Version)
		}
	}
	if err := addPackages(root, add); err != nil {
		return nil, err
	}
	var parts []cyclonedx.Component
	for _, part := range list {
		parts = append(parts, part)
	}
	slices.SortFunc(parts, func(a, b cyclonedx.Component) int { return strings.Compare(a.BOMRef, b.BOMRef) })
	bom := cyclonedx.NewBOM()
	bom.Metadata = &cyclonedx.Metadata{Component: &cyclonedx.Component{
		BOMRef: "whistlestop", Type: cyclonedx.ComponentTypeApplication, Name: "whistlestop", Version: version,
		Licenses: &cyclonedx.Licenses{{License: &cyclonedx.License{ID: "Apache-2.0"}}},
	}}
	bom.Components = &parts
	var text bytes.Buffer
	err := cyclonedx.NewBOMEncoder(&text, cyclonedx.BOMFileFormatJSON).SetPretty(true).Encode(bom)
	return text.Bytes(), err
}

// addPackages adds what the pages carry: the dependencies of the front end, and
// svelte, which compiles itself into them.
func addPackages(root string, add func(name, version, purl string)) error {
	var wanted struct {
		Dependencies map[string]string `json:"dependencies"`
	}
	var locked struct {
		Packages map[string]struct {
			Version string `json:"version"`
		} `json:"packages"`
	}
	for name, into := range map[string]any{"package.json": &wanted, "package-lock.json": &locked} {
		text, err := os.ReadFile(filepath.Join(root, "ui", name))
		if err != nil {
			return err
		}
		if err := json.Unmarshal(text, into); err != nil {
			return err
		}
	}
	names := []string{"svelte"}
	for name := range wanted.Dependencies {
		names = append(names, name)
	}
	for _, name := range names {
		version := locked.Packages["node_modules/"+name].Version
		add(name, version, "pkg:npm/"+strings.ReplaceAll(name, "@", "%40")+"@"+version)
	}
	return nil
}
