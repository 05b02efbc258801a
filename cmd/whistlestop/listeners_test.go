package main

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"whistlestop/internal/lan"
)

// door is a listener that is only asked for its address.
type door struct {
	net.Listener
	address *net.TCPAddr
}

func (d door) Addr() net.Addr { return d.address }

func TestPrintedHosts(t *testing.T) {
	own := lan.NewAddresses()
	outward, shared := "127.0.0.1", false
	if address, found := own.Outward(); found {
		outward, shared = address.String(), true
	}
	everywhere := &net.TCPAddr{IP: net.IPv6unspecified, Port: 8480}
	here := &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 81}
	for _, test := range []struct {
		name        string
		address     *net.TCPAddr
		bench, wall string
		shared      bool
	}{
		{"127.0.0.1", here, "127.0.0.1:81", "127.0.0.1:81", false},
		{"localhost", here, "localhost:81", "localhost:81", false},
		{"::1", &net.TCPAddr{IP: net.IPv6loopback, Port: 81}, "[::1]:81", "[::1]:81", false},
		{"192.168.7.20", here, "192.168.7.20:81", "192.168.7.20:81", true},
		{"bench.example", here, "bench.example:81", "bench.example:81", true},
		{"", everywhere, "127.0.0.1:8480", net.JoinHostPort(outward, "8480"), shared},
		{"0.0.0.0", everywhere, "127.0.0.1:8480", net.JoinHostPort(outward, "8480"), shared},
		{"::", everywhere, "127.0.0.1:8480", net.JoinHostPort(outward, "8480"), shared},
	} {
		d := &listeners{own: own, plain: door{address: test.address}, names: [2]string{test.name, ""}}
		wall, reached := d.outside(test.name, test.address)
		if bench := d.inside(); bench != test.bench || wall != test.wall || reached != test.shared {
			t.Errorf("listening on %q: bench %s, wall %s, reached %v", test.name, bench, wall, reached)
		}
		if address, _ := d.reach(); address != "http://"+test.wall {
			t.Errorf("listening on %q: phones go to %s", test.name, address)
		}
	}
}

// H3: the program encrypts with a certificate of its own, tells its fingerprint,
// and keeps the key where nobody else reads it.
func TestH3_EncryptedWithALocalCertificate(t *testing.T) {
	folder := t.TempDir()
	var out, log bytes.Buffer
	program := &Program{Out: &out, Log: &log}
	err := program.Run(t.Context(), []string{"--log-json", "demo", "--data", folder, "--listen", "127.0.0.1:0", "--https", ":0", "--quiet-lan"})
	defer func() {
		if err := program.Close(); err != nil {
			t.Error(err)
		}
		for line := range strings.Lines(log.String()) {
			if !json.Valid([]byte(line)) {
				t.Errorf("not JSON in the log: %s", line)
			}
		}
	}()
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(folder, certificateFile)
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Fatalf("%v, %v", info, err)
	}
	file, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	trusted := x509.NewCertPool()
	if !trusted.AppendCertsFromPEM(file) {
		t.Fatal("there is no certificate in the file")
	}
	if _, reached := lan.NewAddresses().Outward(); !reached {
		t.Skip("this machine has no network")
	}
	found := regexp.MustCompile(`phones (https://[0-9.]+:\d+)/join\nphones https://whistlestop-[a-z]{4}\.local:\d+/join\n.*([0-9A-F]{2}:){31}[0-9A-F]{2}\n`).FindStringSubmatch(out.String())
	if found == nil {
		t.Fatalf("printed %s", &out)
	}
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: trusted}, ForceAttemptHTTP2: true}}
	defer client.CloseIdleConnections()
	request, err := http.NewRequestWithContext(context.Background(), "GET", found[1]+"/api/session", nil)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := client.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	body, err := io.ReadAll(answer.Body)
	if err != nil || answer.Body.Close() != nil || !strings.Contains(string(body), `"secure":true`) || answer.ProtoMajor != 2 {
		t.Errorf("%s over %s, %v", body, answer.Proto, err)
	}
}

// H3: where nothing is encrypted, the program says so.
func TestH3_PlainConnectionsAreNamed(t *testing.T) {
	if _, reached := lan.NewAddresses().Outward(); !reached {
		t.Skip("this machine has no network")
	}
	var out, log bytes.Buffer
	program := &Program{Out: &out, Log: &log}
	if err := program.Run(t.Context(), []string{"demo", "--lan", "--listen", "127.0.0.1:0"}); err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := program.Close(); err != nil {
			t.Error(err)
		}
	}()
	root, _, _ := strings.Cut(strings.TrimPrefix(out.String(), "bench "), "/bench")
	game := regexp.MustCompile(`/bench/([0-9A-Z]{26})`).FindStringSubmatch(out.String())[1]
	answer, err := http.Post(root+"/api/games/"+game+"/invites", "application/json", strings.NewReader(`{"seat":"box","side":"home"}`))
	if err != nil {
		t.Fatal(err)
	}
	body, err := io.ReadAll(answer.Body)
	if err != nil || answer.Body.Close() != nil || answer.StatusCode != http.StatusCreated {
		t.Fatalf("%d %s, %v", answer.StatusCode, body, err)
	}
	var invite struct{ Link, QR, Caution string }
	if err := json.Unmarshal(body, &invite); err != nil || !strings.Contains(invite.Caution, "not encrypted") ||
		!strings.HasPrefix(invite.QR, "<svg ") || !regexp.MustCompile(`^http://[0-9.]+:\d+/join#[\w-]{43}$`).MatchString(invite.Link) {
		t.Errorf("%s, %v", body, err)
	}
	if !strings.Contains(out.String(), "not encrypted") || !strings.Contains(out.String(), ".local:") {
		t.Errorf("printed %s", &out)
	}
	if _, err := os.Stat(filepath.Join(program.folder, certificateFile)); err == nil {
		t.Error("a certificate was made that nobody asked for")
	}
}
