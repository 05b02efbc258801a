package main

import (
	"bytes"
	"io"
	"net/http"
	"net/http/httptest"
	"sync"
	"testing"

	wire "go.opentelemetry.io/proto/otlp/trace/v1"
	"google.golang.org/protobuf/proto"
)

// collecting takes the traces of a hub that starts after it. When that has ended, what
// benches sent has to have been followed into the database, and no secret may have come.
func collecting(t *testing.T) (address string, secret func(string)) {
	t.Helper()
	var mutex sync.Mutex
	var came [][]byte
	var secrets []string
	server := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		body, err := io.ReadAll(r.Body)
		mutex.Lock()
		defer mutex.Unlock()
		if came = append(came, body); err != nil {
			t.Error(err)
		}
	}))
	t.Cleanup(func() {
		server.Close()
		batches, asked := map[string]bool{}, map[string]bool{}
		for _, body := range came {
			for _, secret := range secrets {
				if bytes.Contains(body, []byte(secret)) {
					t.Errorf("%q is in a trace", secret)
				}
			}
			var data wire.TracesData
			if err := proto.Unmarshal(body, &data); err != nil {
				t.Fatal(err)
			}
			for _, of := range data.ResourceSpans {
				for _, scope := range of.ScopeSpans {
					for _, span := range scope.Spans {
						switch span.Name {
						case "POST /v1/ledgers/{game}/entries":
							batches[string(span.TraceId)] = true
						case "SELECT", "INSERT":
							asked[string(span.TraceId)] = true
						}
					}
				}
			}
		}
		for id := range batches {
			if asked[id] {
				return
			}
		}
		t.Errorf("no batch of %d was followed into the database", len(batches))
	})
	return server.URL, func(s string) { secrets = append(secrets, s) }
}
