package sqlite

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"whistlestop/internal/store"
)

func TestPapersAreKeptAndForgotten(t *testing.T) {
	folder := t.TempDir()
	p, err := OpenPapers(t.Context(), folder)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := OpenPapers(t.Context(), folder); !errors.Is(err, store.ErrInUse) {
		t.Errorf("opened twice: %v", err)
	}
	for n := range papersKept + 5 {
		if err := p.Keep(t.Context(), 1, "test", map[string][]byte{"people": {'a' + byte(n)}, "rota": []byte("Maren Holt")}); err != nil {
			t.Fatal(err)
		}
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	if p, err = OpenPapers(t.Context(), folder); err != nil {
		t.Fatal(err)
	}
	all, err := p.All(t.Context())
	if err != nil || string(all["people"]) != string(rune('a'+papersKept+4)) || string(all["rota"]) != "Maren Holt" {
		t.Errorf("%q, %v", all, err)
	}
	var count int
	if err := p.store.db.QueryRow("SELECT count(*) FROM papers").Scan(&count); err != nil || count != 2*papersKept {
		t.Errorf("%d versions are there, %v", count, err)
	}
	if err := p.Forget(t.Context(), 2, "forgotten", map[string][]byte{"rota": []byte("nobody")}); err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(folder, "*"))
	if err != nil || len(files) < 2 {
		t.Fatal(files, err)
	}
	for _, name := range files {
		if raw, err := os.ReadFile(name); err != nil || bytes.Contains(raw, []byte("Maren Holt")) {
			t.Errorf("%s: %v, or the name is there still", name, err)
		}
	}
	if all, err = p.All(t.Context()); err != nil || len(all) != 2 || string(all["rota"]) != "nobody" {
		t.Errorf("%q, %v", all, err)
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
}
