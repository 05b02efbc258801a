package outbox

import (
	"net/netip"
	"net/url"
	"strings"

	"whistlestop/game/message"
)

// Link is how a bench reaches its hub.
type Link struct {
	Hub    string // address without a slash at the end, such as https://hub.example
	Secret string // behind the # of the link: no server is told it by a browser
}

// String is the link as the hub's page shows it.
func (l Link) String() string { return l.Hub + pairPath + "#" + l.Secret }

const pairPath = "/pair"

// ParseLink reads a link that a hub made for a bench. One over plain http is only taken
// within a building: the secret goes with every request.
func ParseLink(text string) (Link, error) {
	at, err := url.Parse(strings.TrimSpace(text))
	if err != nil || at.Host == "" || at.Path != pairPath || at.Fragment == "" || at.User != nil || at.RawQuery != "" {
		return Link{}, message.New("hubcopy.bad_link")
	}
	switch {
	case at.Scheme == "https":
	case at.Scheme == "http" && near(at.Hostname()):
	default:
		return Link{}, message.New("hubcopy.plain_link", "hub", at.Host)
	}
	return Link{Hub: at.Scheme + "://" + at.Host, Secret: at.Fragment}, nil
}

// near reports whether a host is this computer or in the same building.
func near(host string) bool {
	if host == "localhost" || strings.HasSuffix(host, ".local") || strings.HasSuffix(host, ".localhost") {
		return true
	}
	address, err := netip.ParseAddr(host)
	return err == nil && (address.IsLoopback() || address.IsPrivate() || address.IsLinkLocalUnicast())
}
