package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"syscall"
	"time"
)

// outcome is what became of a mutant.
type outcome string

const (
	killed    outcome = "killed"
	outOfTime outcome = "out of time" // killed too: something waited for what never came
	survived  outcome = "survived"
	noProgram outcome = "does not build"
)

// result is a mutant and what became of it.
type result struct {
	mutant
	Outcome outcome `json:"outcome"`
	By      string  `json:"by,omitempty"` // the first test that noticed
	Known   string  `json:"known,omitempty"`
	Seconds float64 `json:"seconds"`
}

// A mutant's tests get so many times what they take without it, and a minute, so
// that a busy machine kills none; and this much memory that they may write to (what
// is only reserved does not count: some programs that tests start reserve a lot).
const (
	timesSlower  = 5
	atLeastTime  = time.Minute
	memoryKBytes = 6 << 20
)

// workshop tries mutants, one at a time.
type workshop struct {
	root, folder string
	took         map[tests]time.Duration // without a mutant
}

// try builds and runs the tests of a mutant until one notices.
func (w *workshop) try(m mutant) (result, error) {
	began := time.Now()
	got := result{mutant: m, Outcome: survived}
	overlay, err := w.overlay(m)
	if err != nil {
		return got, err
	}
	for _, each := range m.tests {
		limit, err := w.limit(each)
		if err != nil {
			return got, err
		}
		if got.Outcome, got.By, err = w.run(each, overlay, limit); err != nil {
			return got, err
		}
		if got.Outcome != survived {
			break
		}
	}
	got.Seconds = time.Since(began).Seconds()
	return got, nil
}

// limit returns how long tests may take. They have to pass without a mutant.
func (w *workshop) limit(t tests) (time.Duration, error) {
	if _, known := w.took[t]; !known {
		began := time.Now()
		how, by, err := w.run(t, "", 20*time.Minute)
		if err != nil {
			return 0, err
		}
		if how != survived {
			return 0, fmt.Errorf("the tests of %s do not pass without a mutant: %s %s", t.pkg, how, by)
		}
		w.took[t] = time.Since(began)
	}
	return atLeastTime + timesSlower*w.took[t], nil
}

// overlay writes the mutant beside the repository and returns the list that the
// compiler reads it by.
func (w *workshop) overlay(m mutant) (string, error) {
	file := filepath.Join(w.folder, "mutant.go.txt")
	if err := os.WriteFile(file, m.text, 0o600); err != nil {
		return "", err
	}
	list, err := json.Marshal(map[string]map[string]string{
		"Replace": {filepath.Join(w.root, filepath.FromSlash(m.File)): file},
	})
	if err != nil {
		return "", err
	}
	path := filepath.Join(w.folder, "overlay.json")
	return path, os.WriteFile(path, list, 0o600)
}

// failed finds the test that noticed.
var failed = regexp.MustCompile(`(?m)^\s*--- FAIL: (\S+)`)

// run builds the tests of a package and runs them.
func (w *workshop) run(t tests, overlay string, limit time.Duration) (outcome, string, error) {
	// What the tests build themselves is to have the mutant too.
	flags := "-tags=no_ui"
	if overlay != "" {
		flags += " -overlay=" + overlay
	}
	environment := append(os.Environ(), "GOFLAGS="+os.Getenv("GOFLAGS")+" "+flags)
	binary := filepath.Join(w.folder, "mutant.test")
	build := exec.Command("go", "test", "-c", "-o", binary, "./"+t.pkg)
	build.Dir, build.Env = w.root, environment
	if text, err := build.CombinedOutput(); err != nil {
		return noProgram, string(text), nil
	}
	if _, err := os.Stat(binary); err != nil { // a package without tests
		return survived, "", nil
	}
	defer os.Remove(binary)
	within, stop := context.WithTimeout(context.Background(), limit)
	defer stop()
	folder := filepath.Join(w.root, filepath.FromSlash(t.pkg))
	how := []string{"-c", `ulimit -d "$0" && exec "$@"`, strconv.Itoa(memoryKBytes), binary, "-test.short", "-test.failfast", "-test.timeout=0", "-test.run=" + t.run}
	drawn, err := drawsCases(folder)
	if err != nil {
		return "", "", err
	}
	if drawn {
		how = append(how, "-rapid.nofailfile")
	}
	test := exec.CommandContext(within, "sh", how...)
	test.Dir = folder
	test.Env = environment
	// What the tests start is ended with them.
	test.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	test.Cancel = func() error { return syscall.Kill(-test.Process.Pid, syscall.SIGKILL) }
	test.WaitDelay = 5 * time.Second
	text, err := test.CombinedOutput()
	var status *exec.ExitError
	switch {
	case within.Err() != nil:
		return outOfTime, t.pkg, nil
	case err == nil, errors.Is(err, exec.ErrWaitDelay):
		return survived, "", nil
	case !errors.As(err, &status):
		return "", "", err
	}
	by := "the tests end"
	if name := failed.FindSubmatch(text); name != nil {
		by = string(name[1])
	} else if bytes.Contains(text, []byte("panic: ")) {
		by = "panic"
	}
	return killed, t.pkg + " " + by, nil
}

// drawsCases reports whether the tests of a folder draw cases by chance with rapid,
// which keeps those that fail beside the tests: a mutant's are worth nothing.
func drawsCases(folder string) (bool, error) {
	files, err := filepath.Glob(filepath.Join(folder, "*_test.go"))
	if err != nil {
		return false, err
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil || bytes.Contains(text, []byte(`"pgregory.net/rapid"`)) {
			return true, err
		}
	}
	return false, nil
}
