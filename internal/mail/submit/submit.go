package submit

import (
	"context"
	"crypto/tls"
	"errors"
	"net/textproto"
	"strings"
	"time"

	"github.com/wneessen/go-mail"

	own "whistlestop/internal/mail"
)

// within is how long one letter may take (ours). RFC 5321 (4.5.3.2) lets a server think
// longer about a whole letter; whoever does is asked again.
const within = 60 * time.Second

// Post sends letters. It is safe for use by many goroutines.
type Post struct {
	Settings
	tls    *tls.Config
	within time.Duration
}

// New returns a post. The TLS configuration may be nil: the system's roots, TLS 1.2 or newer.
func New(s Settings, config *tls.Config) *Post {
	if config == nil {
		config = &tls.Config{}
	}
	config = config.Clone()
	config.ServerName, config.MinVersion = s.Server, tls.VersionTLS12
	return &Post{Settings: s, tls: config, within: within}
}

// From is who letters come from, as readers see it.
func (p *Post) From() string { return p.Settings.From }

// Most is how many letters may go out in 24 hours; 0: no limit is known.
func (p *Post) Most() int { return p.MostADay }

// Send hands one letter to the server and returns nil once it has taken it. Its errors are
// faults: what they say has no password in it, and no address but the server's words.
func (p *Post) Send(ctx context.Context, l own.Letter) error {
	letter, err := p.letter(l)
	if err != nil {
		return &own.Fault{Outcome: own.Refused, Said: err.Error()}
	}
	client, err := p.client()
	if err != nil {
		return closed(err)
	}
	if ctx.Err() != nil {
		return closed(ctx.Err())
	}
	// The library looks at the context only until it is connected. Whoever cannot wait
	// any longer is told that nobody knows, and the connection ends by its own time limit.
	came := make(chan error, 1)
	go func() { came <- p.send(ctx, client, letter) }()
	select {
	case err := <-came:
		return err
	case <-ctx.Done():
		return &own.Fault{Outcome: own.Perhaps, Said: ctx.Err().Error()}
	}
}

func (p *Post) send(ctx context.Context, client *mail.Client, letter *mail.Msg) error {
	session, err := client.DialToSMTPClientWithContext(ctx)
	if err != nil {
		return closed(err)
	}
	err = client.SendWithSMTPClient(session, letter)
	// However the goodbye goes, the letter was taken or not before it.
	_ = client.CloseWithSMTPClient(session)
	if err == nil || letter.IsDelivered() {
		return nil
	}
	return faultOf(err)
}

func (p *Post) client() (*mail.Client, error) {
	options := []mail.Option{mail.WithPort(p.Port), mail.WithTimeout(p.within), mail.WithTLSConfig(p.tls), mail.WithoutNoop()}
	switch p.Security {
	case wholeTLS:
		options = append(options, mail.WithSSL())
	case startTLS:
		options = append(options, mail.WithTLSPolicy(mail.TLSMandatory))
	default:
		options = append(options, mail.WithTLSPolicy(mail.NoTLS))
	}
	if p.User != "" {
		options = append(options, mail.WithUsername(p.User), mail.WithPassword(p.Password), mail.WithSMTPAuth(mail.SMTPAuthAutoDiscover))
		if p.Security == encrypted {
			options[len(options)-1] = mail.WithSMTPAuth(mail.SMTPAuthPlainNoEnc)
		}
	}
	return mail.NewClient(p.Server, options...)
}

// letter is one as it travels: plain text, with a way out of the list that programs know
// (RFC 2369, RFC 8058), and marked as written by a program, so that nothing answers it by
// itself (RFC 3834).
func (p *Post) letter(l own.Letter) (*mail.Msg, error) {
	m := mail.NewMsg(mail.WithCharset(mail.CharsetUTF8), mail.WithEncoding(mail.EncodingQP), mail.WithNoDefaultUserAgent())
	m.FromMailAddress(&p.from)
	if err := m.To(l.To); err != nil {
		return nil, err
	}
	if p.ReplyTo != "" {
		if err := m.ReplyTo(p.ReplyTo); err != nil {
			return nil, err
		}
	}
	_, domain, _ := strings.Cut(p.from.Address, "@")
	m.SetMessageIDWithValue(l.ID + "@" + domain)
	m.SetDate()
	m.Subject(l.Subject)
	m.SetGenHeader("Auto-Submitted", "auto-generated")
	byAnswer := "mailto:" + p.from.Address + "?subject=unsubscribe"
	switch {
	case l.Asked:
	case strings.HasPrefix(l.Leave, "https://"):
		if err := m.SetListUnsubscribeOneClick(l.Leave, byAnswer); err != nil {
			return nil, err
		}
	default:
		m.SetListUnsubscribe(byAnswer)
	}
	m.SetBodyString(mail.TypeTextPlain, l.Text)
	return m, nil
}

// closed is an error before there was a letter: the way, the encryption, the login.
func closed(err error) error {
	f := &own.Fault{Outcome: own.Closed, Said: err.Error()}
	var said *textproto.Error
	if errors.As(err, &said) {
		f.Code, f.Said = said.Code, said.Msg
	}
	return f
}

// faultOf sorts what went wrong with a letter. A server that answered after the whole
// letter said what it did with it; one that did not may have taken it.
func faultOf(err error) error {
	var sending *mail.SendError
	if !errors.As(err, &sending) {
		return closed(err)
	}
	// The library puts the address and the letter's id behind what was said.
	words, _, _ := strings.Cut(sending.Error(), ", affected ")
	f := &own.Fault{Code: sending.ErrorCode(), Said: words}
	switch {
	case f.Code >= 500:
		f.Outcome = own.Refused
	case f.Code >= 400:
		f.Outcome = own.Later
	case sending.Reason == mail.ErrSMTPDataClose:
		f.Outcome = own.Perhaps
	case sending.Reason == mail.ErrGetSender, sending.Reason == mail.ErrGetRcpts, sending.Reason == mail.ErrNoUnencoded:
		f.Outcome = own.Refused
	default: // the connection broke before the letter was whole
		f.Outcome = own.Later
	}
	if f.Code == serviceGone || f.Code == loginFirst {
		f.Outcome = own.Closed
	}
	return f
}

// serviceGone is a server that closes the connection, whatever the letter is (RFC 5321,
// 4.2.2); loginFirst is one that wants a login (RFC 4954, 6).
const serviceGone, loginFirst = 421, 530
