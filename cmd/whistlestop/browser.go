package main

import (
	"context"
	"encoding/json"
	"io"
	"net/http"
	"time"

	"github.com/pkg/browser"
)

// usualAddress is where the bench is when nothing else is said.
const usualAddress = "127.0.0.1:8480"

// benchInBrowser is what somebody gets who starts the program without a word, for
// example by a double click: the bench, in their browser. Where it runs already, its
// page is opened once more.
func (p *Program) benchInBrowser(ctx context.Context) error {
	page := "http://" + usualAddress + "/"
	if runsAlready(ctx, page) {
		p.line("program.runs_already", "address", page)
		p.show(page)
		return nil
	}
	if err := p.bench(ctx, benchCommand{serveFlags: serveFlags{Listen: usualAddress}}); err != nil {
		return err
	}
	p.line("program.leave_open")
	p.show("http://" + p.address.String() + "/")
	return nil
}

// show opens a page in the browser. Where there is none, the address was printed.
func (p *Program) show(page string) {
	open := p.Browse
	if open == nil {
		browser.Stdout, browser.Stderr = io.Discard, io.Discard
		open = browser.OpenURL
	}
	if err := open(page); err != nil {
		p.line("program.no_browser", "address", page)
	}
}

// runsAlready asks whether a bench answers at an address of this computer.
func runsAlready(ctx context.Context, page string) bool {
	ctx, cancel := context.WithTimeout(ctx, 2*time.Second)
	defer cancel()
	question, err := http.NewRequestWithContext(ctx, http.MethodGet, page+"api/health", nil)
	if err != nil {
		return false
	}
	answer, err := http.DefaultClient.Do(question)
	if err != nil {
		return false
	}
	defer func() { _ = answer.Body.Close() }()
	var health struct {
		Status string `json:"status"`
		Now    int64  `json:"now_ms"`
	}
	err = json.NewDecoder(io.LimitReader(answer.Body, 1<<16)).Decode(&health)
	return err == nil && health.Status != "" && health.Now > 0
}
