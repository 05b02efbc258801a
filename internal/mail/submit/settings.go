package submit

import (
	"net"
	"net/mail"
	"strings"

	"whistlestop/game/datafile"
	"whistlestop/game/message"
)

// Settings say how letters go out.
type Settings struct {
	Server       string `toml:"server"`
	Port         int    `toml:"port"`     // 0: that of the security
	Security     string `toml:"security"` // starttls (if left out), tls; none: on this computer only
	User         string `toml:"user"`     // empty: no login
	From         string `toml:"from"`     // an address, with a name or without
	ReplyTo      string `toml:"reply_to"` // empty: the sender
	PasswordFile string `toml:"password_file"`
	MostADay     int    `toml:"most_a_day"` // letters in 24 hours that the provider lets; 0: no limit is known

	Password string `toml:"-"`

	from mail.Address
}

// The values of security.
const (
	startTLS  = "starttls"
	wholeTLS  = "tls"
	encrypted = "none" // not at all, to a server on this computer
)

// The ports of submission (RFC 8314, 7.3; RFC 6409, 3.1; RFC 5321 for a server beside us).
const (
	portTLS, portStart, portPlain = 465, 587, 25
)

// Read reads settings and says what is wrong with them. The name is that of the file.
func Read(text []byte, name string) (Settings, error) {
	var s Settings
	if err := datafile.Decode(text, name, &s); err != nil {
		return s, err
	}
	from, err := mail.ParseAddress(s.From)
	if err != nil {
		return s, message.New("mail.from", "text", s.From)
	}
	s.from = *from
	if s.ReplyTo != "" {
		if _, err := mail.ParseAddress(s.ReplyTo); err != nil {
			return s, message.New("mail.from", "text", s.ReplyTo)
		}
	}
	if s.Security == "" {
		s.Security = startTLS
	}
	ports := map[string]int{startTLS: portStart, wholeTLS: portTLS, encrypted: portPlain}
	usual, known := ports[s.Security]
	switch {
	case s.Server == "" || strings.ContainsAny(s.Server, " /\r\n"):
		return s, message.New("mail.server", "text", s.Server)
	case !known:
		return s, message.New("mail.security", "text", s.Security)
	case s.Security == encrypted && !beside(s.Server):
		return s, message.New("mail.plain", "server", s.Server)
	case s.Port < 0 || s.Port > 65535, s.MostADay < 0:
		return s, message.New("mail.number")
	}
	if s.Port == 0 {
		s.Port = usual
	}
	return s, nil
}

// beside reports whether a server is on this computer.
func beside(server string) bool {
	ip := net.ParseIP(server)
	return server == "localhost" || ip != nil && ip.IsLoopback()
}
