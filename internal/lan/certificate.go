package lan

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"math/big"
	"net"
	"slices"
	"strings"
	"sync"
	"time"
)

// A certificate lasts a little over a year, the longest that browsers take, and
// is renewed a month before its end.
const (
	certificateLasts = 397 * 24 * time.Hour
	renewBefore      = 30 * 24 * time.Hour
	// hostsMost bounds the addresses that one certificate gathers over time.
	hostsMost = 32
)

// Certificates is the certificate that this program made for this machine. No
// authority vouches for it, so browsers warn; people compare its fingerprint
// with the one that the bench shows. It is safe for use by many goroutines.
type Certificates struct {
	read  func() ([]byte, error)
	write func([]byte) error
	names func() []string
	now   func() time.Time

	mutex sync.Mutex
	pair  *tls.Certificate
	hosts []string
}

// NewCertificates returns the certificate of this machine. Read returns the file
// with key and certificate, nil if there is none; write keeps it where nobody
// else reads it; hosts are the names and addresses of this machine now.
func NewCertificates(read func() ([]byte, error), write func([]byte) error, hosts func() []string) *Certificates {
	return &Certificates{read: read, write: write, names: hosts, now: time.Now}
}

// Config is how a TLS server uses the certificate.
func (c *Certificates) Config() *tls.Config {
	return &tls.Config{
		MinVersion: tls.VersionTLS12,
		// Said here, because a server that also serves without TLS sets HTTP/2 up
		// at its first listener, from what the configuration says then.
		NextProtos:     []string{"h2", "http/1.1"},
		GetCertificate: func(*tls.ClientHelloInfo) (*tls.Certificate, error) { return c.ready() },
	}
}

// Fingerprint makes the certificate ready and returns its SHA-256 as browsers
// show it.
func (c *Certificates) Fingerprint() (string, error) {
	pair, err := c.ready()
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(pair.Leaf.Raw)
	parts := make([]string, len(sum))
	for i, b := range sum {
		parts[i] = fmt.Sprintf("%02X", b)
	}
	return strings.Join(parts, ":"), nil
}

// ready returns the certificate. When the machine has got an address that it
// does not name, a new one is made.
func (c *Certificates) ready() (*tls.Certificate, error) {
	hosts := c.names()
	c.mutex.Lock()
	defer c.mutex.Unlock()
	if c.pair != nil && slices.Equal(hosts, c.hosts) && c.fresh(c.pair) {
		return c.pair, nil
	}
	var before []string
	if c.pair == nil {
		c.pair = c.kept()
	}
	if c.pair != nil {
		before = named(c.pair.Leaf)
		if c.fresh(c.pair) && !slices.ContainsFunc(hosts, func(h string) bool { return !slices.Contains(before, h) }) {
			c.hosts = hosts
			return c.pair, nil
		}
	}
	// The addresses of before stay in it: a laptop that goes back to a network
	// it knows must not make everybody accept a new certificate.
	all := slices.Clone(hosts)
	for _, old := range before {
		if !slices.Contains(all, old) && len(all) < hostsMost {
			all = append(all, old)
		}
	}
	made, file, err := c.make(all)
	if err != nil {
		return nil, err
	}
	if err := c.write(file); err != nil {
		return nil, err
	}
	c.pair, c.hosts = made, hosts
	return made, nil
}

// fresh reports whether a certificate may still be used for a while.
func (c *Certificates) fresh(pair *tls.Certificate) bool {
	now := c.now()
	return now.After(pair.Leaf.NotBefore) && now.Before(pair.Leaf.NotAfter.Add(-renewBefore))
}

// kept reads the certificate of before. One that cannot be read is made anew.
func (c *Certificates) kept() *tls.Certificate {
	file, err := c.read()
	if err != nil || file == nil {
		return nil
	}
	pair, err := tls.X509KeyPair(file, file)
	if err != nil || pair.Leaf == nil {
		return nil
	}
	return &pair
}

// named lists what a certificate is for.
func named(leaf *x509.Certificate) []string {
	hosts := slices.Clone(leaf.DNSNames)
	for _, address := range leaf.IPAddresses {
		hosts = append(hosts, address.String())
	}
	return hosts
}

// make makes a key and a certificate for the hosts, and the file of both.
func (c *Certificates) make(hosts []string) (*tls.Certificate, []byte, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, nil, err
	}
	serial, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 120))
	if err != nil {
		return nil, nil, err
	}
	now := c.now()
	template := &x509.Certificate{
		SerialNumber: serial,
		Subject:      pkix.Name{CommonName: "Whistlestop, this computer only"},
		NotBefore:    now.Add(-24 * time.Hour), // phones whose clock is behind
		NotAfter:     now.Add(certificateLasts - 24*time.Hour),
		KeyUsage:     x509.KeyUsageDigitalSignature,
		ExtKeyUsage:  []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		// Not an authority: who takes its key can pretend to be this bench, and
		// nothing else.
		BasicConstraintsValid: true,
	}
	for _, host := range hosts {
		if address := net.ParseIP(host); address != nil {
			template.IPAddresses = append(template.IPAddresses, address)
		} else {
			template.DNSNames = append(template.DNSNames, host)
		}
	}
	raw, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	if err != nil {
		return nil, nil, err
	}
	secret, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return nil, nil, err
	}
	var file bytes.Buffer
	err = errors.Join(
		pem.Encode(&file, &pem.Block{Type: "PRIVATE KEY", Bytes: secret}),
		pem.Encode(&file, &pem.Block{Type: "CERTIFICATE", Bytes: raw}))
	if err != nil {
		return nil, nil, err
	}
	pair, err := tls.X509KeyPair(file.Bytes(), file.Bytes())
	if err != nil {
		return nil, nil, err
	}
	return &pair, file.Bytes(), nil
}
