package lan

import (
	"crypto/tls"
	"crypto/x509"
	"errors"
	"net"
	"strings"
	"testing"
	"time"
)

// shelf keeps the file of the certificate.
type shelf struct {
	file  []byte
	wrote int
	fails error
}

func (s *shelf) certificates(now *time.Time, hosts *[]string) *Certificates {
	c := NewCertificates(func() ([]byte, error) { return s.file, nil }, func(file []byte) error {
		if s.fails == nil {
			s.file, s.wrote = file, s.wrote+1
		}
		return s.fails
	}, func() []string { return *hosts })
	c.now = func() time.Time { return *now }
	return c
}

func TestCertificateIsForThisMachineAndIsRenewed(t *testing.T) {
	now := time.Date(2026, 1, 10, 18, 0, 0, 0, time.UTC)
	hosts := []string{"whistlestop-kftb.local", "192.168.7.20", "fe80::1"}
	s := &shelf{}
	c := s.certificates(&now, &hosts)
	first, err := c.Fingerprint()
	if err != nil || len(strings.Split(first, ":")) != 32 || s.wrote != 1 {
		t.Fatalf("%s, %v, written %d times", first, err, s.wrote)
	}
	same := func(what string, want bool) {
		t.Helper()
		print, err := c.Fingerprint()
		if err != nil || (print == first) != want {
			t.Errorf("%s: the same certificate: %v, want %v (%v)", what, print == first, want, err)
		}
		first = print
	}
	pair, err := c.ready()
	if err != nil {
		t.Fatal(err)
	}
	leaf := pair.Leaf
	for _, host := range hosts {
		if err := leaf.VerifyHostname(host); err != nil {
			t.Error(err)
		}
	}
	if leaf.IsCA || leaf.KeyUsage&x509.KeyUsageCertSign != 0 || leaf.NotAfter.Sub(leaf.NotBefore) > 398*24*time.Hour {
		t.Errorf("it may do too much: %+v", leaf)
	}
	same("asked again", true)
	c = s.certificates(&now, &hosts)
	same("after a restart", true)
	hosts = []string{"whistlestop-kftb.local", "10.42.0.1"}
	same("on another network", false)
	hosts = []string{"whistlestop-kftb.local", "192.168.7.20"}
	same("back on the first", true)
	now = now.Add(367 * 24 * time.Hour)
	same("a month before its end", false)
	s.file = []byte("-----BEGIN nothing")
	c = s.certificates(&now, &hosts)
	same("after the file was damaged", false)
	s.file, s.fails = nil, errors.New("the disk is full")
	if _, err := s.certificates(&now, &hosts).Fingerprint(); err == nil {
		t.Error("a certificate that was not kept is shown")
	}
}

func TestBrowsersCanTalkToIt(t *testing.T) {
	now, hosts := time.Now(), []string{"127.0.0.1"}
	c := (&shelf{}).certificates(&now, &hosts)
	pair, err := c.ready()
	if err != nil {
		t.Fatal(err)
	}
	listener, err := tls.Listen("tcp", "127.0.0.1:0", c.Config())
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = listener.Close() }() // the test is over
	go func() {
		if server, err := listener.Accept(); err == nil {
			_, _ = server.Write([]byte("x")) // the other end looks
			_ = server.Close()
		}
	}()
	trusted := x509.NewCertPool()
	trusted.AddCert(pair.Leaf)
	client, err := tls.DialWithDialer(&net.Dialer{Timeout: 5 * time.Second}, "tcp", listener.Addr().String(), &tls.Config{RootCAs: trusted})
	if err != nil {
		t.Fatal(err)
	}
	if err := client.Close(); err != nil {
		t.Error(err)
	}
}
