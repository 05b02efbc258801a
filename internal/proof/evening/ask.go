package evening

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"runtime/debug"
	"time"
)

// beats are the seconds that a move may take: what has not ended then hangs.
const beats = 90

// within does something and reports whether it ended in time. A panic is a fault.
func (v *evening) within(do func()) bool {
	done := make(chan struct{})
	go func() {
		defer close(done)
		defer func() {
			if caught := recover(); caught != nil {
				v.fault("the program panics: %v\n%s", caught, debug.Stack())
			}
		}()
		do()
	}()
	for range beats {
		beat := time.NewTimer(time.Second)
		select {
		case <-done:
			beat.Stop()
			return true
		case <-beat.C:
		}
	}
	return false
}

// here is a request of the bench's own screen.
func (v *evening) here(method, path string, body []byte) *http.Request {
	return request(method, path, body, "127.0.0.1:50000")
}

// from is a request of a phone, or of the bench's own screen.
func (v *evening) from(p *phone, method, path string, body []byte) *http.Request {
	if p == nil {
		return v.here(method, path, body)
	}
	return p.request(method, path, body)
}

// stranger is a request of somebody in the stands, who only looks.
func (v *evening) fromStands(path string) *http.Request {
	return request("GET", path, nil, fmt.Sprintf("192.0.2.%d:40000", 1+v.random.IntN(200)))
}

func request(method, path string, body []byte, from string) *http.Request {
	r := httptest.NewRequest(method, path, bytes.NewReader(body))
	r.Host, r.RemoteAddr = "127.0.0.1:8480", from
	if body != nil {
		r.Header.Set("Content-Type", "application/json")
	}
	return r
}

// raw asks, and returns the status and the body. Status 0: there was no answer.
func (v *evening) raw(r *http.Request) (status int, body []byte) {
	if v.laptop.program == nil {
		return 0, nil
	}
	ctx, cancel := context.WithCancel(v.ctx)
	defer cancel()
	answer := httptest.NewRecorder()
	if !v.within(func() { v.laptop.program.ServeHTTP(answer, r.WithContext(ctx)) }) {
		v.fault("%s %s has no answer", r.Method, r.URL.Path)
		return 0, nil
	}
	if v.laptop.isDead() {
		return 0, nil // it died meanwhile: nobody hears
	}
	if answer.Code == http.StatusInternalServerError {
		v.fault("%s %s failed inside the program: %s", r.Method, r.URL.Path, answer.Body)
	}
	return answer.Code, answer.Body.Bytes()
}

// ask asks and reads the answer where there is a good one.
func (v *evening) ask(r *http.Request, into any) (status int) {
	status, body := v.raw(r)
	if status/100 == 2 && into != nil {
		if err := json.Unmarshal(body, into); err != nil {
			v.fault("%s %s is no JSON: %v", r.Method, r.URL.Path, err)
		}
	}
	return status
}

// now is the bench's time.
func (v *evening) now() (now int64, known bool) {
	var told struct {
		Sent int64 `json:"sent_ms"`
	}
	status := v.ask(v.here("GET", "/api/time", nil), &told)
	return told.Sent, status == 200
}
