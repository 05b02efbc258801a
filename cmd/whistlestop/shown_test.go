package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/game/rules"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/paper/xlsx"
)

const turned = "\u202e" // turns the writing that follows

// TestNamesOfFilesAndSheetsAreShownSafely: a name that turns or hides what is
// written around it does neither on the command line nor on the bench's screen.
func TestNamesOfFilesAndSheetsAreShownSafely(t *testing.T) {
	rows := [][]string{{"Number", "Name"}, {"4", "A B"}}
	sheet := fullest([]xlsx.Table{
		{Name: "one" + turned, Rows: append(rows, []string{"5", "C D"})}, {Name: "\x1b[2Jtwo", Rows: rows},
	})
	said := 0
	for _, finding := range sheet.Findings {
		for _, arg := range finding.Say.Args {
			if said++; strings.ContainsAny(arg.Text, turned+"\x1b") {
				t.Errorf("a sheet is named %q", arg.Text)
			}
		}
	}
	if said == 0 {
		t.Error("the other sheet is not named")
	}
	file := filepath.Join(t.TempDir(), "roster"+turned+"\x1b[2J.csv")
	if err := os.WriteFile(file, []byte("4,A B\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, command := range [][]string{
		{"restore", file, "--data", t.TempDir()}, {"verify", file}, {"roster", "check", file + "x"}, {"card", "check", file},
	} {
		var out bytes.Buffer
		p := &Program{Out: &out, Log: io.Discard}
		err := p.Run(t.Context(), command)
		text := out.String()
		if err != nil {
			text += words{}.reason(err)
		}
		if strings.ContainsAny(text, turned+"\x1b") {
			t.Errorf("%v says %q", command[0], text)
		}
		if err := p.Close(); err != nil {
			t.Error(err)
		}
	}
	p := &Program{Out: io.Discard, Log: io.Discard}
	if err := p.Run(t.Context(), []string{"version"}); err != nil {
		t.Fatal(err)
	}
	p.tell(rules.Say{Key: "start.forked", Args: rules.Pairs("file", file)})
	if said := p.toldAtStart()[0].Args.Get("file"); strings.ContainsAny(said, turned+"\x1b") {
		t.Errorf("the screen says %q", said)
	}
}

// TestRestoreReadsNoMoreThanMayBe: what is larger than any copy, or never ends, is
// refused before it is read.
func TestRestoreReadsNoMoreThanMayBe(t *testing.T) {
	large := filepath.Join(t.TempDir(), "large.jsonl")
	file, err := os.Create(large)
	if err == nil {
		err = file.Truncate(durable.ReadMost + 1)
	}
	if err == nil {
		err = file.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, from := range []string{large, os.DevNull} {
		p := &Program{Out: io.Discard, Log: io.Discard}
		err := p.Run(t.Context(), []string{"restore", from, "--data", t.TempDir()})
		if err == nil || !strings.Contains(err.Error(), filepath.Base(from)) || !strings.Contains(err.Error(), "16384") {
			t.Errorf("%s: %v", from, err)
		}
		if err := p.Close(); err != nil {
			t.Error(err)
		}
	}
}
