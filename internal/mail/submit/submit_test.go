package submit

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"mime"
	"mime/quotedprintable"
	"net"
	"strings"
	"testing"
	"time"

	"whistlestop/internal/mail"
	"whistlestop/internal/mail/mailtest"
)

// postTo is a post that knows a test's server.
func postTo(t *testing.T, server *mailtest.Server, security, password string) *Post {
	t.Helper()
	s, err := Read(fmt.Appendf(nil, "server = %q\nport = %d\nsecurity = %q\nuser = %q\nfrom = \"Harbour League crew <crew@harbour.example>\"\n",
		server.Host, server.Port, security, mailtest.User), "mail.toml")
	if err != nil {
		t.Fatal(err)
	}
	s.Password = password
	return New(s, &tls.Config{RootCAs: server.Roots})
}

var letter = mail.Letter{
	ID: "01J9ZK", To: "maren@example.org", Subject: "Saturday: the clock, naïvely", Leave: "https://hub.example/leave/x",
	Text: "Hello Maren,\n\nyou have the clock on Saturday.\n.\nA line with one full stop above.\n" + strings.Repeat("long ", 60) + "\n",
}

func TestALetterArrivesAsItWasWritten(t *testing.T) {
	for name, security := range map[string]mailtest.Security{startTLS: mailtest.StartTLS, wholeTLS: mailtest.WholeTLS, encrypted: mailtest.Plain} {
		t.Run(name, func(t *testing.T) {
			server := mailtest.New(t, security)
			if err := postTo(t, server, name, mailtest.Password).Send(t.Context(), letter); err != nil {
				t.Fatal(err)
			}
			got := server.Letters()
			if len(got) != 1 || got[0].From != "crew@harbour.example" || got[0].To != "maren@example.org" {
				t.Fatalf("%+v", got)
			}
			body, err := io.ReadAll(quotedprintable.NewReader(strings.NewReader(got[0].Body())))
			if err != nil || strings.ReplaceAll(strings.TrimRight(string(body), "\n"), "\r", "") != strings.TrimRight(letter.Text, "\n") {
				t.Errorf("%q, %v", body, err)
			}
			subject, err := new(mime.WordDecoder).DecodeHeader(got[0].Header.Get("Subject"))
			if err != nil || subject != letter.Subject {
				t.Errorf("%q, %v", subject, err)
			}
			for header, want := range map[string]string{
				"Message-Id": "<01J9ZK@harbour.example>", "Auto-Submitted": "auto-generated",
				"List-Unsubscribe":      "<https://hub.example/leave/x>, <mailto:crew@harbour.example?subject=unsubscribe>",
				"List-Unsubscribe-Post": "List-Unsubscribe=One-Click", "From": `"Harbour League crew" <crew@harbour.example>`,
			} {
				if has := got[0].Header.Get(header); has != want {
					t.Errorf("%s: %q, want %q", header, has, want)
				}
			}
			if _, err := got[0].Header.Date(); err != nil {
				t.Error(err)
			}
			// One that somebody asked for is no part of a list.
			asked := letter
			asked.Asked = true
			if err := postTo(t, server, name, mailtest.Password).Send(t.Context(), asked); err != nil || server.Letters()[1].Header.Get("List-Unsubscribe") != "" {
				t.Error(err)
			}
		})
	}
}

// Whatever goes wrong, it is known whether the letter may have gone, and nobody's password
// is in what is said (RFC 5321, 4.2 and 4.3.2).
func TestWhatCanGoWrong(t *testing.T) {
	for _, one := range []struct {
		fault mailtest.Fault
		want  mail.Outcome
		said  string
		taken bool
	}{
		{mailtest.None, mail.Sent, "", true},
		{mailtest.UnknownAddress, mail.Refused, "no such mailbox", false},
		{mailtest.Greylisted, mail.Later, "come back", false},
		{mailtest.Spam, mail.Refused, "advertising", false},
		{mailtest.Full, mail.Later, "disk is full", false},
		{mailtest.Closing, mail.Closed, "closing", false},
		{mailtest.CutBefore, mail.Later, "", false},
		{mailtest.CutAfterLetter, mail.Perhaps, "", true},
		{mailtest.Silent, mail.Perhaps, "", true},
	} {
		server := mailtest.New(t, mailtest.StartTLS)
		post := postTo(t, server, startTLS, mailtest.Password)
		if one.fault == mailtest.Silent {
			post.within = 2 * time.Second // it never answers, however long one waits
		}
		server.Fail(one.fault)
		err := post.Send(t.Context(), letter)
		if got := mail.Came(err); got != one.want || (len(server.Letters()) > 0) != one.taken {
			t.Errorf("fault %d: outcome %d (%v), want %d; %d letters", one.fault, got, err, one.want, len(server.Letters()))
		}
		if err != nil && (!strings.Contains(err.Error(), one.said) || strings.Contains(err.Error(), mailtest.Password) || strings.Contains(err.Error(), letter.To)) {
			t.Errorf("fault %d: %v", one.fault, err)
		}
	}
}

// A connection that ends within the letter: the server has no whole letter, and whether the
// end of it was still on its way is not ours to guess.
func TestACutWithinTheLetter(t *testing.T) {
	server := mailtest.New(t, mailtest.Plain)
	server.Fail(mailtest.CutInLetter)
	big := letter
	big.Text = strings.Repeat("a line of a letter\n", 100_000)
	err := postTo(t, server, encrypted, mailtest.Password).Send(t.Context(), big)
	if got := mail.Came(err); got != mail.Later && got != mail.Perhaps || len(server.Letters()) != 0 {
		t.Errorf("%d, %v", got, err)
	}
}

// Without a login that is right, a certificate that is right, or encryption at all, no
// letter leaves, and neither does the password.
func TestNothingLeavesUnsafely(t *testing.T) {
	server := mailtest.New(t, mailtest.StartTLS)
	stranger := mailtest.New(t, mailtest.StartTLS)
	plain := mailtest.New(t, mailtest.Plain)
	nobody, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	if err := nobody.Close(); err != nil {
		t.Fatal(err)
	}
	at, _ := nobody.Addr().(*net.TCPAddr)
	for name, post := range map[string]*Post{
		"another password":     postTo(t, server, startTLS, "wrong"),
		"another certificate":  postTo(t, &mailtest.Server{Host: stranger.Host, Port: stranger.Port, Roots: server.Roots}, startTLS, mailtest.Password),
		"no encryption there":  postTo(t, plain, startTLS, mailtest.Password),
		"encryption too early": postTo(t, server, wholeTLS, mailtest.Password),
		"nobody there":         postTo(t, &mailtest.Server{Host: "127.0.0.1", Port: at.Port}, startTLS, mailtest.Password),
	} {
		post.within = 20 * time.Second
		if err := post.Send(t.Context(), letter); mail.Came(err) != mail.Closed || strings.Contains(err.Error(), mailtest.Password) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, s := range []*mailtest.Server{server, stranger, plain} {
		if s.Tries() != 0 {
			t.Error("a letter was begun")
		}
	}
	stopped, stop := context.WithCancel(t.Context())
	stop()
	if err := postTo(t, server, startTLS, mailtest.Password).Send(stopped, letter); mail.Came(err) != mail.Closed {
		t.Error(err)
	}
}

func TestSettings(t *testing.T) {
	for text, want := range map[string]string{
		"server = \"mail.example.org\"\nfrom = \"a@example.org\"\n":                             "",
		"server = \"mail.example.org\"\nfrom = \"a@example.org\"\nsecurity = \"tls\"\n":         "",
		"server = \"localhost\"\nfrom = \"a@example.org\"\nsecurity = \"none\"\n":               "",
		"server = \"mail.example.org\"\nfrom = \"a@example.org\"\nsecurity = \"none\"\n":        "mail.plain",
		"server = \"mail.example.org\"\nfrom = \"nobody\"\n":                                    "mail.from",
		"server = \"mail.example.org\"\nfrom = \"a@example.org\"\nreply_to = \"x\"\n":           "mail.from",
		"server = \"\"\nfrom = \"a@example.org\"\n":                                             "mail.server",
		"server = \"smtp://x\"\nfrom = \"a@example.org\"\n":                                     "mail.server",
		"server = \"x.example\"\nfrom = \"a@example.org\"\nsecurity = \"ssl\"\n":                "mail.security",
		"server = \"x.example\"\nfrom = \"a@example.org\"\nport = 70000\n":                      "mail.number",
		"server = \"x.example\"\nfrom = \"a@example.org\"\npassword = \"in the file\"\n":        "file",
		"server = \"x.example\"\nfrom = \"a@example.org\\r\\nBcc: b@example.org\"\nport = 25\n": "mail.from",
	} {
		s, err := Read([]byte(text), "mail.toml")
		if want == "" && (err != nil || s.Port == 0) || want != "" && (err == nil || !strings.Contains(fmt.Sprint(errors.Unwrap(err), err), strings.TrimSuffix(want, "file"))) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add("server = \"mail.example.org\"\nfrom = \"a@example.org\"\n")
	f.Fuzz(func(t *testing.T, text string) {
		if s, err := Read([]byte(text), "mail.toml"); err == nil && (s.Server == "" || s.Port < 1 || s.from.Address == "" || s.Security == encrypted && !beside(s.Server)) {
			t.Errorf("%q: %+v", text, s)
		}
	})
}
