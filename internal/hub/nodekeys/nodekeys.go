package nodekeys

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"regexp"
	"time"

	"whistlestop/internal/folder/durable"
	"whistlestop/internal/folder/privatefile"
)

// The files of a folder with keys.
const (
	authorityFile   = "authority.pem"
	certificateFile = "certificate.pem"
	keyFile         = "key.pem"
)

// The folders that Make makes beside those of nodes.
const (
	Hub       = "hub"       // for every hub
	Authority = "authority" // for nobody: to make further keys
)

// lasts is for how long keys are good (ours): whoever runs nodes is there every season.
const lasts = 5 * 365 * 24 * time.Hour

// What keys are refused for.
var (
	ErrThere  = errors.New("there are keys already")
	ErrName   = errors.New("a node's name is letters, digits and dashes, and neither hub nor authority")
	ErrNoKeys = errors.New("these are no keys")
)

var nodeName = regexp.MustCompile(`^[a-zA-Z0-9][a-zA-Z0-9-]{0,62}$`)

// Make makes an authority and keys: for each node, by its name, good for the names and
// addresses by which it is reached, and for hubs. The folder is not there yet: ErrThere.
func Make(folder string, nodes map[string][]string, now time.Time) error {
	if _, err := os.Lstat(folder); !errors.Is(err, fs.ErrNotExist) {
		return errors.Join(ErrThere, err)
	}
	for name := range nodes {
		if !nodeName.MatchString(name) || name == Hub || name == Authority {
			return fmt.Errorf("%w: %q", ErrName, name)
		}
	}
	root, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return err
	}
	authority := template("Whistlestop nodes", now)
	authority.IsCA, authority.KeyUsage, authority.ExtKeyUsage, authority.MaxPathLenZero = true, x509.KeyUsageCertSign, nil, true
	raw, err := x509.CreateCertificate(rand.Reader, authority, authority, root.Public(), root)
	if err != nil {
		return err
	}
	part := folder + ".part"
	if err := os.RemoveAll(part); err != nil { // of keys that were not finished
		return err
	}
	if err := write(filepath.Join(part, Authority), raw, raw, root); err != nil {
		return err
	}
	everybody := map[string][]string{Hub: nil}
	for name, hosts := range nodes {
		everybody[name] = hosts
	}
	for name, hosts := range everybody {
		key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
		if err != nil {
			return err
		}
		one := template(name, now)
		for _, host := range hosts {
			if address := net.ParseIP(host); address != nil {
				one.IPAddresses = append(one.IPAddresses, address)
			} else {
				one.DNSNames = append(one.DNSNames, host)
			}
		}
		signed, err := x509.CreateCertificate(rand.Reader, one, authority, key.Public(), root)
		if err != nil {
			return err
		}
		if err := write(filepath.Join(part, name), raw, signed, key); err != nil {
			return err
		}
	}
	if err := os.Rename(part, folder); err != nil {
		return err
	}
	return durable.Lenient(durable.System()).SyncFolder(filepath.Dir(folder))
}

// template is what all certificates have. Nodes are both ends of what is between them.
func template(name string, now time.Time) *x509.Certificate {
	serial, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 127))
	if err != nil {
		panic(err) // the system's randomness does not fail
	}
	return &x509.Certificate{
		SerialNumber: serial, Subject: pkix.Name{CommonName: name}, NotBefore: now.Add(-time.Hour), NotAfter: now.Add(lasts),
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth, x509.ExtKeyUsageClientAuth},
		BasicConstraintsValid: true,
	}
}

// write writes a folder with keys.
func write(folder string, authority, certificate []byte, key *ecdsa.PrivateKey) error {
	secret, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return err
	}
	if err := durable.MakeFolder(folder); err != nil {
		return err
	}
	for name, block := range map[string]*pem.Block{
		authorityFile: {Type: "CERTIFICATE", Bytes: authority}, certificateFile: {Type: "CERTIFICATE", Bytes: certificate}, keyFile: {Type: "PRIVATE KEY", Bytes: secret},
	} {
		if err := privatefile.At(filepath.Join(folder, name)).Write(pem.EncodeToMemory(block)); err != nil {
			return err
		}
	}
	return nil
}

// Keys are those of one who takes part.
type Keys struct {
	own     tls.Certificate
	trusted *x509.CertPool
}

// Load reads the keys of a folder. It returns ErrNoKeys where they cannot be used.
func Load(folder string) (*Keys, error) {
	own, err := tls.LoadX509KeyPair(filepath.Join(folder, certificateFile), filepath.Join(folder, keyFile))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNoKeys, err)
	}
	text, err := os.ReadFile(filepath.Join(folder, authorityFile))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNoKeys, err)
	}
	k := &Keys{own: own, trusted: x509.NewCertPool()}
	if !k.trusted.AppendCertsFromPEM(text) {
		return nil, fmt.Errorf("%w: %s has no certificate", ErrNoKeys, authorityFile)
	}
	return k, nil
}

// Ends is when the keys are good no more.
func (k *Keys) Ends() time.Time { return k.own.Leaf.NotAfter }

// Host is the first of the addresses that the keys were made for; empty: they are a hub's.
func (k *Keys) Host() string {
	if leaf := k.own.Leaf; len(leaf.DNSNames) > 0 {
		return leaf.DNSNames[0]
	} else if len(leaf.IPAddresses) > 0 {
		return leaf.IPAddresses[0].String()
	}
	return ""
}

// Server is for who listens: only whoever has keys of the same authority is answered.
func (k *Keys) Server() *tls.Config {
	return &tls.Config{
		Certificates: []tls.Certificate{k.own}, RootCAs: k.trusted, ClientCAs: k.trusted, ClientAuth: tls.RequireAndVerifyClientCert, MinVersion: tls.VersionTLS13,
	}
}

// Client is for who asks: only one with keys of the same authority, for the name by which
// it is reached, is believed.
func (k *Keys) Client() *tls.Config {
	return &tls.Config{Certificates: []tls.Certificate{k.own}, RootCAs: k.trusted, MinVersion: tls.VersionTLS13}
}

// Here reports whether a host is this computer itself, to which nobody else listens.
func Here(host string) bool {
	if host == "localhost" {
		return true
	}
	address := net.ParseIP(host)
	return address != nil && address.IsLoopback()
}
