// Release makes what people download: a program for each system, the practice site,
// checksums, and a list of all parts. The same sources and the same Go give the same
// bytes, whoever makes it and wherever: -twice makes it once more from a copy of the
// sources elsewhere and compares.
//
//	go run ./release -root .. -out ../.build/release -version 1.2.0
package main

import (
	"bytes"
	"crypto/sha256"
	"flag"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// target is a system that gets a program.
type target struct{ system, processor string }

var targets = []target{
	{"linux", "amd64"}, {"linux", "arm64"}, {"darwin", "amd64"}, {"darwin", "arm64"}, {"windows", "amd64"}, {"windows", "arm64"},
}

func main() {
	log.SetFlags(0)
	root := flag.String("root", "..", "the repository, built: its front end is embedded")
	out := flag.String("out", "../.build/release", "folder for what is made; emptied first")
	version := flag.String("version", "development", "what the program says of itself")
	twice := flag.Bool("twice", false, "make it again from a copy of the sources, and compare")
	flag.Parse()
	if err := run(*root, *out, *version, *twice); err != nil {
		log.Fatal(err)
	}
}

func run(root, out, version string, twice bool) error {
	if err := release(root, out, version); err != nil {
		return err
	}
	if !twice {
		return nil
	}
	elsewhere, err := os.MkdirTemp("", "release-*")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(elsewhere) }()
	copied := filepath.Join(elsewhere, "sources")
	if err := copySources(root, copied); err != nil {
		return err
	}
	again := filepath.Join(elsewhere, "out")
	if err := release(copied, again, version); err != nil {
		return err
	}
	return same(out, again)
}

// release makes everything in a folder.
func release(root, out, version string) error {
	if _, err := os.Stat(filepath.Join(root, "ui", "dist", "practice", "index.html")); err != nil {
		return fmt.Errorf("the front end is not built: make build first (%w)", err)
	}
	if err := os.RemoveAll(out); err != nil {
		return err
	}
	if err := os.MkdirAll(out, 0o755); err != nil {
		return err
	}
	work, err := os.MkdirTemp("", "programs-*")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(work) }()
	var programs []string
	for _, t := range targets {
		program, err := build(root, work, version, t)
		if err != nil {
			return err
		}
		programs = append(programs, program)
		if err := packProgram(root, out, program, version, t); err != nil {
			return err
		}
	}
	site := filepath.Join(out, "whistlestop-practice-"+version+".zip")
	if err := packFolder(site, filepath.Join(root, "ui", "dist", "practice"), "practice"); err != nil {
		return err
	}
	parts, err := partsOf(root, programs, version)
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(out, "whistlestop-"+version+".cdx.json"), parts, 0o644); err != nil {
		return err
	}
	sums, err := checksums(out)
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(out, "SHA256SUMS"), sums, 0o644)
}

// build makes the program for one system, without a trace of where it was made.
func build(root, work, version string, t target) (string, error) {
	program := filepath.Join(work, t.system+"-"+t.processor, "whistlestop")
	if t.system == "windows" {
		program += ".exe"
	}
	cmd := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags", "-s -w -buildid= -X main.version="+version, "-o", program, "./cmd/whistlestop")
	cmd.Dir = root
	cmd.Env = append(os.Environ(), "CGO_ENABLED=0", "GOFLAGS=", "GOOS="+t.system, "GOARCH="+t.processor)
	if said, err := cmd.CombinedOutput(); err != nil {
		return "", fmt.Errorf("%s %s: %w\n%s", t.system, t.processor, err, said)
	}
	return program, nil
}

// packProgram packs a program with what somebody who unpacks it should read.
func packProgram(root, out, program, version string, t target) error {
	name := fmt.Sprintf("whistlestop-%s-%s-%s", version, t.system, t.processor)
	files := []file{{name + "/" + filepath.Base(program), program, true}}
	for _, text := range []string{"LICENSE", "README.md"} {
		files = append(files, file{name + "/" + text, filepath.Join(root, text), false})
	}
	files = append(files, file{name + "/volunteer.pdf", filepath.Join(root, "docs", "volunteer.pdf"), false})
	if t.system == "windows" {
		return packZip(filepath.Join(out, name+".zip"), files)
	}
	return packTar(filepath.Join(out, name+".tar.gz"), files)
}

// checksums are those of every file in a folder, in the form that sha256sum -c reads.
func checksums(folder string) ([]byte, error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, err
	}
	var sums bytes.Buffer
	for _, e := range entries {
		text, err := os.ReadFile(filepath.Join(folder, e.Name()))
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&sums, "%x  %s\n", sha256.Sum256(text), e.Name())
	}
	return sums.Bytes(), nil
}

// same says which files of two releases differ.
func same(one, other string) error {
	first, err := checksums(one)
	if err != nil {
		return err
	}
	second, err := checksums(other)
	if err != nil {
		return err
	}
	if bytes.Equal(first, second) {
		fmt.Printf("made twice, in two folders: the same %d files, byte for byte\n", bytes.Count(first, []byte("\n")))
		return nil
	}
	var differ []string
	for line := range strings.Lines(string(first)) {
		if !bytes.Contains(second, []byte(line)) {
			differ = append(differ, strings.TrimSpace(line[sha256.Size*2:]))
		}
	}
	slices.Sort(differ)
	return fmt.Errorf("made twice, these differ: %s", strings.Join(differ, ", "))
}

// copySources copies what the build reads: everything but what was built or fetched.
func copySources(from, to string) error {
	cmd := exec.Command("git", "ls-files", "-z")
	cmd.Dir = from
	list, err := cmd.Output()
	if err != nil {
		return err
	}
	names := strings.Split(strings.TrimSuffix(string(list), "\x00"), "\x00")
	built, err := filesBelow(filepath.Join(from, "ui", "dist"))
	if err != nil {
		return err
	}
	for _, name := range built {
		names = append(names, filepath.Join("ui", "dist", name))
	}
	for _, name := range names {
		text, err := os.ReadFile(filepath.Join(from, name))
		if err != nil {
			return err
		}
		at := filepath.Join(to, name)
		if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(at, text, 0o644); err != nil {
			return err
		}
	}
	return nil
}
