package mailtest

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"io"
	"math/big"
	"net"
	"net/mail"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/emersion/go-sasl"
	"github.com/emersion/go-smtp"
)

// Security is how the server's connections are encrypted.
type Security int

// How they are.
const (
	StartTLS Security = iota
	WholeTLS
	Plain
)

// Fault is what goes wrong with the next letter.
type Fault int

// What can go wrong.
const (
	None           Fault = iota
	UnknownAddress       // 550 to the address
	Greylisted           // 451 to the address
	Spam                 // 554 to the whole letter
	Full                 // 452 to the whole letter
	Closing              // 421 to the sender
	CutBefore            // the connection ends when the letter is announced
	CutInLetter          // the connection ends within the letter
	CutAfterLetter       // the whole letter is taken, and the connection ends without an answer
	Silent               // the whole letter is taken, and nothing is answered any more
)

// The login of the server.
const (
	User     = "crew@harbour.example"
	Password = "saltworks pier nine"
)

// Letter is one that was taken.
type Letter struct {
	From, To string
	Header   mail.Header
	Raw      string
}

// Server is a server that is running.
type Server struct {
	Host string
	Port int
	// Roots are the certificates that its own is one of.
	Roots *x509.CertPool

	mutex   sync.Mutex
	faults  []Fault
	letters []Letter
	tries   int
	release chan struct{} // closed at the end: whoever hangs goes on
}

// New starts a server on this computer; it ends with the test.
func New(t testing.TB, security Security) *Server {
	t.Helper()
	certificate, roots := certified(t)
	s := &Server{Host: "127.0.0.1", Roots: roots, release: make(chan struct{})}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	at, _ := listener.Addr().(*net.TCPAddr)
	s.Port = at.Port
	server := smtp.NewServer(smtp.BackendFunc(func(c *smtp.Conn) (smtp.Session, error) { return &session{server: s, conn: c}, nil }))
	server.Domain, server.ErrorLog = "post.harbour.example", quiet{}
	server.AllowInsecureAuth = security == Plain
	config := &tls.Config{Certificates: []tls.Certificate{certificate}, MinVersion: tls.VersionTLS12}
	switch security {
	case StartTLS:
		server.TLSConfig = config
	case WholeTLS:
		listener = tls.NewListener(listener, config)
	case Plain:
	}
	done := make(chan struct{})
	go func() {
		defer close(done)
		_ = server.Serve(listener) // it ends when the test does
	}()
	t.Cleanup(func() {
		close(s.release)
		_ = server.Close()
		<-done
	})
	return s
}

type quiet struct{}

func (quiet) Printf(string, ...any) {}
func (quiet) Println(...any)        {}

// Fail lets the next letters go wrong, one after the other.
func (s *Server) Fail(faults ...Fault) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	s.faults = append(s.faults, faults...)
}

// Letters are those that were taken, in order.
func (s *Server) Letters() []Letter {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return append([]Letter(nil), s.letters...)
}

// Tries is how many letters were begun.
func (s *Server) Tries() int {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.tries
}

// session is one connection.
type session struct {
	server   *Server
	conn     *smtp.Conn
	fault    Fault
	signed   bool
	from, to string
}

func (s *session) AuthMechanisms() []string { return []string{sasl.Plain} }

func (s *session) Auth(string) (sasl.Server, error) {
	return sasl.NewPlainServer(func(_, user, password string) error {
		if user != User || password != Password {
			return smtp.ErrAuthFailed
		}
		s.signed = true
		return nil
	}), nil
}

func (s *session) Mail(from string, _ *smtp.MailOptions) error {
	if !s.signed {
		return smtp.ErrAuthRequired
	}
	s.server.mutex.Lock()
	s.server.tries++
	if s.fault = None; len(s.server.faults) > 0 {
		s.fault, s.server.faults = s.server.faults[0], s.server.faults[1:]
	}
	s.server.mutex.Unlock()
	s.from = from
	if s.fault == CutBefore {
		return s.cut()
	}
	return s.says(Closing)
}

// noes are what the server says, and when.
var noes = map[Fault]*smtp.SMTPError{
	UnknownAddress: {Code: 550, EnhancedCode: smtp.EnhancedCode{5, 1, 1}, Message: "no such mailbox here"},
	Greylisted:     {Code: 451, EnhancedCode: smtp.EnhancedCode{4, 7, 1}, Message: "come back in a while"},
	Spam:           {Code: 554, EnhancedCode: smtp.EnhancedCode{5, 7, 1}, Message: "this looks like advertising"},
	Full:           {Code: 452, EnhancedCode: smtp.EnhancedCode{4, 3, 1}, Message: "the disk is full"},
	Closing:        {Code: 421, Message: "closing for now"},
}

// says is the no of the letter's fault, if it is one of those that belong here.
func (s *session) says(here ...Fault) error {
	for _, one := range here {
		if s.fault == one {
			return noes[one]
		}
	}
	return nil
}

// cut ends the connection as a cable does that is pulled.
func (s *session) cut() error {
	_ = s.conn.Conn().Close()
	return io.ErrUnexpectedEOF
}

func (s *session) Rcpt(to string, _ *smtp.RcptOptions) error {
	s.to = to
	return s.says(UnknownAddress, Greylisted)
}

func (s *session) Data(r io.Reader) error {
	if s.fault == CutInLetter {
		_, _ = io.ReadFull(r, make([]byte, 20))
		return s.cut()
	}
	raw, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	if err := s.says(Spam, Full); err != nil {
		return err
	}
	parsed, err := mail.ReadMessage(bytes.NewReader(raw))
	if err != nil {
		return err
	}
	s.server.mutex.Lock()
	s.server.letters = append(s.server.letters, Letter{s.from, s.to, parsed.Header, string(raw)})
	s.server.mutex.Unlock()
	if s.fault == Silent {
		<-s.server.release
	}
	if s.fault == Silent || s.fault == CutAfterLetter {
		return s.cut()
	}
	return nil
}

func (s *session) Reset() {}

func (s *session) Logout() error { return nil }

// certified is a certificate for this computer, which is its own root.
func certified(t testing.TB) (tls.Certificate, *x509.CertPool) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "a server of a test"}, IsCA: true, BasicConstraintsValid: true,
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(24 * time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign,
	}
	raw, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	parsed, err := x509.ParseCertificate(raw)
	if err != nil {
		t.Fatal(err)
	}
	roots := x509.NewCertPool()
	roots.AddCert(parsed)
	return tls.Certificate{Certificate: [][]byte{raw}, PrivateKey: key}, roots
}

// Body is what stands below the header of a letter, with the ends of lines that people see.
func (l Letter) Body() string {
	_, body, _ := strings.Cut(l.Raw, "\r\n\r\n")
	return strings.ReplaceAll(body, "\r\n", "\n")
}
