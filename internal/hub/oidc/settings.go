package oidc

import (
	"net/netip"
	"net/url"
	"strings"

	"whistlestop/game/datafile"
	"whistlestop/game/message"
)

// Settings say which service it is.
type Settings struct {
	Name       string `toml:"name"`        // as people know it
	Issuer     string `toml:"issuer"`      // https, or on this computer
	Client     string `toml:"client"`      // the hub's id there
	SecretFile string `toml:"secret_file"` // beside the file of settings

	Secret string `toml:"-"`
}

// textMost is how long a name or an id may be (ours).
const textMost = 200

// Read reads settings and says what is wrong with them. The name is that of the file.
func Read(text []byte, name string) (Settings, error) {
	var s Settings
	if err := datafile.Decode(text, name, &s); err != nil {
		return s, err
	}
	switch {
	case !usable(s.Name), !usable(s.Client):
		return s, message.New("hub.other.settings", "file", name)
	case !trusted(s.Issuer):
		return s, message.New("hub.other.issuer", "text", s.Issuer)
	}
	return s, nil
}

func usable(text string) bool {
	return strings.TrimSpace(text) != "" && len(text) <= textMost
}

// trusted: nobody on the way can answer for the issuer.
func trusted(issuer string) bool {
	at, err := url.Parse(issuer)
	if err != nil || at.Host == "" || at.User != nil || at.RawQuery != "" || at.Fragment != "" {
		return false
	}
	address, err := netip.ParseAddr(at.Hostname())
	here := at.Hostname() == "localhost" || err == nil && address.IsLoopback()
	return at.Scheme == "https" || at.Scheme == "http" && here
}
