package rulebook

import (
	"embed"
	"io/fs"
	"path"
	"slices"
	"sync"

	"whistlestop/game/datafile"
)

//go:embed codes/*.toml divisions/*.toml
var files embed.FS

// builtInCodes reads the embedded files once. They are part of the program: a fault
// in one is a fault of the program.
var builtInCodes = sync.OnceValue(func() []*Code {
	var codes []*Code
	var calls callsFile
	must(datafile.Decode(read("codes/calls.toml"), "calls.toml", &calls))
	for _, name := range list("codes") {
		if name == callsName {
			continue
		}
		code, err := ParseCode(read(path.Join("codes", name)), name)
		must(err)
		code.Calls = calls.Calls
		codes = append(codes, code)
	}
	return codes
})

func must(err error) {
	if err != nil {
		panic(err)
	}
}

func read(name string) []byte {
	text, err := files.ReadFile(name)
	must(err)
	return text
}

func list(folder string) []string {
	entries, err := fs.ReadDir(files, folder)
	must(err)
	names := make([]string, len(entries))
	for i, e := range entries {
		names[i] = e.Name()
	}
	return names
}

// Codes lists the codes that the program knows, by id.
func Codes() []*Code { return builtInCodes() }

// CodeByID finds a code.
func CodeByID(id string) (*Code, bool) {
	for _, code := range Codes() {
		if code.ID == id {
			return code, true
		}
	}
	return nil, false
}

func codeIDs() []string {
	var ids []string
	for _, code := range Codes() {
		ids = append(ids, code.ID)
	}
	return ids
}

var builtInDivisions = sync.OnceValue(func() []Division {
	var all []Division
	for _, name := range list("divisions") {
		d, err := ParseDivision(read(path.Join("divisions", name)), name)
		must(err)
		all = append(all, d)
	}
	return all
})

// Divisions lists the divisions that come with the program, by file name.
func Divisions() []Division { return slices.Clone(builtInDivisions()) }
