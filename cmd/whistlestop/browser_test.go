package main

import (
	"bytes"
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

func TestRunsAlready(t *testing.T) {
	for _, c := range []struct {
		name, says string
		want       bool
	}{
		{"a bench", `{"status":"ok","now_ms":1}`, true},
		{"a bench whose disk is full", `{"status":"failing","now_ms":1}`, true},
		{"something else", "hello", false},
		{"other JSON", `{"status":"ok"}`, false},
	} {
		server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = w.Write([]byte(c.says)) }))
		if got := runsAlready(t.Context(), server.URL+"/"); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
		server.Close()
		if runsAlready(t.Context(), server.URL+"/") {
			t.Errorf("%s: nobody answers, and it runs", c.name)
		}
	}
}

// A real bench is known as one.
func TestABenchIsKnownAsOne(t *testing.T) {
	p := &Program{Out: new(bytes.Buffer), Log: new(bytes.Buffer)}
	if err := p.Run(t.Context(), []string{"bench", "--data", t.TempDir(), "--listen", "127.0.0.1:0"}); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = p.Close() }()
	if !runsAlready(t.Context(), "http://"+p.address.String()+"/") {
		t.Error("it runs, and is not known")
	}
}

func TestShow(t *testing.T) {
	for name, fault := range map[string]error{"a browser": nil, "no browser": errors.New("none")} {
		var out bytes.Buffer
		opened := ""
		p := &Program{Out: &out, Browse: func(page string) error { opened = page; return fault }}
		p.show("http://127.0.0.1:8480/")
		if opened != "http://127.0.0.1:8480/" || (fault != nil) != strings.Contains(out.String(), "127.0.0.1:8480") {
			t.Errorf("%s: %q, %q", name, opened, out.String())
		}
	}
}
