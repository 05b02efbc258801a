package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	cyclonedx "github.com/CycloneDX/cyclonedx-go"
)

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// When and where a file was made, and who may read it, change no byte of an archive.
func TestArchivesAreTheSameBytes(t *testing.T) {
	var made [2][2][]byte
	for i := range made {
		from, out := t.TempDir(), t.TempDir()
		write(t, filepath.Join(from, "b.txt"), "text")
		write(t, filepath.Join(from, "a", "program"), strings.Repeat("code ", 1000))
		when := time.Unix(1_700_000_000+int64(i)*86_400, 0)
		if err := os.Chtimes(filepath.Join(from, "b.txt"), when, when); err != nil {
			t.Fatal(err)
		}
		files := []file{{"it/program", filepath.Join(from, "a", "program"), true}, {"it/b.txt", filepath.Join(from, "b.txt"), false}}
		if err := packTar(filepath.Join(out, "x.tar.gz"), files); err != nil {
			t.Fatal(err)
		}
		if err := packFolder(filepath.Join(out, "x.zip"), from, "site"); err != nil {
			t.Fatal(err)
		}
		for k, name := range []string{"x.tar.gz", "x.zip"} {
			text, err := os.ReadFile(filepath.Join(out, name))
			if err != nil {
				t.Fatal(err)
			}
			made[i][k] = text
		}
	}
	if !bytes.Equal(made[0][0], made[1][0]) || !bytes.Equal(made[0][1], made[1][1]) {
		t.Error("two archives of the same files differ")
	}
	packed, err := gzip.NewReader(bytes.NewReader(made[0][0]))
	if err != nil {
		t.Fatal(err)
	}
	archive := tar.NewReader(packed)
	first, err := archive.Next()
	if err != nil || first.Name != "it/program" || first.Mode != 0o755 {
		t.Errorf("%+v, %v", first, err)
	}
	if text, err := io.ReadAll(archive); err != nil || len(text) != 5000 {
		t.Errorf("%d bytes, %v", len(text), err)
	}
	site, err := zip.NewReader(bytes.NewReader(made[0][1]), int64(len(made[0][1])))
	if err != nil || len(site.File) != 2 || site.File[0].Name != "site/a/program" {
		t.Errorf("%v", err)
	}
}

func TestDifferencesAreNamed(t *testing.T) {
	one, other := t.TempDir(), t.TempDir()
	for _, folder := range []string{one, other} {
		write(t, filepath.Join(folder, "same"), "x")
		write(t, filepath.Join(folder, "differs"), folder)
	}
	if err := same(one, other); err == nil || !strings.Contains(err.Error(), "differs") || strings.Contains(err.Error(), "same,") {
		t.Errorf("%v", err)
	}
	if err := same(one, one); err != nil {
		t.Error(err)
	}
}

// The list of parts is made from a real program, and another reader takes it.
func TestPartsOfAProgram(t *testing.T) {
	root := t.TempDir()
	write(t, filepath.Join(root, "ui", "package.json"), `{"dependencies":{"@scope/one":"1.0.0"}}`)
	write(t, filepath.Join(root, "ui", "package-lock.json"), `{"packages":{"node_modules/@scope/one":{"version":"1.2.3"},"node_modules/svelte":{"version":"5.0.1"}}}`)
	program := filepath.Join(t.TempDir(), "release")
	if said, err := exec.Command("go", "build", "-mod=mod", "-o", program, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	text, err := partsOf(root, []string{program, program}, "1.0.0")
	if err != nil {
		t.Fatal(err)
	}
	var bom cyclonedx.BOM
	if err := cyclonedx.NewBOMDecoder(bytes.NewReader(text), cyclonedx.BOMFileFormatJSON).Decode(&bom); err != nil {
		t.Fatal(err)
	}
	found := map[string]string{}
	for _, part := range *bom.Components {
		found[part.Name] = part.Version
	}
	if found["@scope/one"] != "1.2.3" || found["svelte"] != "5.0.1" || found["github.com/CycloneDX/cyclonedx-go"] == "" || !strings.HasPrefix(found["std"], "go1.") {
		t.Errorf("%v", found)
	}
	again, err := partsOf(root, []string{program}, "1.0.0")
	if err != nil || !bytes.Equal(text, again) {
		t.Error("the same program, another list")
	}
}
