package sender

import (
	"cmp"
	"context"
	"crypto/ecdh"
	"encoding/base64"
	"errors"
	"io"
	"net"
	"net/http"
	"net/http/httptrace"
	"net/netip"
	"net/url"
	"strconv"
	"strings"
	"sync/atomic"
	"syscall"
	"time"

	webpush "github.com/SherClockHolmes/webpush-go"

	"whistlestop/internal/push"
)

// endpointMost is longer than addresses of push services are (ours).
const endpointMost = 1000

// Takes returns push.ErrDevice for what no message could or should go to.
func (*Post) Takes(d push.Device) error { return takes(d) }

func takes(d push.Device) error {
	at, err := url.Parse(d.Endpoint)
	if err != nil || len(d.Endpoint) > endpointMost || at.Scheme != "https" || at.User != nil || at.Opaque != "" || at.Fragment != "" {
		return push.ErrDevice
	}
	host := at.Hostname()
	if _, err := netip.ParseAddr(host); err == nil || !strings.Contains(host, ".") || at.Port() != "" && at.Port() != "443" {
		return push.ErrDevice
	}
	key, err := base64.RawURLEncoding.DecodeString(strings.TrimRight(d.Key, "="))
	if err != nil {
		return push.ErrDevice
	}
	if _, err := ecdh.P256().NewPublicKey(key); err != nil {
		return push.ErrDevice
	}
	const secretBytes = 16 // RFC 8291, 3.2
	if secret, err := base64.RawURLEncoding.DecodeString(strings.TrimRight(d.Secret, "=")); err != nil || len(secret) != secretBytes {
		return push.ErrDevice
	}
	return nil
}

// Post sends messages. It is safe for use by many goroutines.
type Post struct {
	contact string
	client  *http.Client
}

// How long a message may take, how long a push service keeps it for a device that is off
// (RFC 8030, 5.2: a reminder is of no use after its day), what of an answer is read. Ours.
const (
	within   = 30 * time.Second
	keptFor  = 12 * time.Hour
	saidMost = 300
)

// New returns a way to send. The contact is an address of mail, or an https page, by which
// those who run a push service reach the sender (RFC 8292, 2.1). Where the surroundings name
// a proxy for https (HTTPS_PROXY), it goes through that, which then decides what is reached.
func New(contact string) *Post {
	return &Post{contact, clientOf(&http.Transport{
		Proxy: http.ProxyFromEnvironment, DialContext: dialer(proxy()), ForceAttemptHTTP2: true, TLSHandshakeTimeout: within,
	})}
}

// proxy is the host and port of the proxy that the surroundings name; empty: none.
func proxy() string {
	through, err := http.ProxyFromEnvironment(&http.Request{URL: &url.URL{Scheme: "https", Host: "push.invalid"}})
	if err != nil || through == nil {
		return ""
	}
	ports := map[string]string{"http": "80", "https": "443", "socks5": "1080", "socks5h": "1080"}
	return net.JoinHostPort(through.Hostname(), cmp.Or(through.Port(), ports[through.Scheme]))
}

// dialer connects to servers of the internet, and to a proxy wherever it is.
func dialer(proxy string) func(ctx context.Context, network, address string) (net.Conn, error) {
	return func(ctx context.Context, network, address string) (net.Conn, error) {
		d := &net.Dialer{Timeout: within, Control: publicOnly}
		if proxy != "" && address == proxy {
			d.Control = nil
		}
		return d.DialContext(ctx, network, address)
	}
}

func clientOf(transport *http.Transport) *http.Client {
	transport.MaxResponseHeaderBytes = 64 << 10
	return &http.Client{Transport: transport, Timeout: within, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
}

// errPrivate says that a name of the internet leads into a network of somebody's own.
var errPrivate = errors.New("the address of the push service is none of the internet")

// publicOnly refuses connections to addresses that are not on the open internet. It is
// asked with the address itself, after the name was looked up.
func publicOnly(_, address string, _ syscall.RawConn) error {
	at, err := netip.ParseAddrPort(address)
	if err != nil || !public(at.Addr().Unmap()) {
		return errPrivate
	}
	return nil
}

// special are ranges beside those that netip knows which no server of the internet has
// (IANA's registries of special-purpose addresses), or that lead to others by translation.
var special = []netip.Prefix{
	netip.MustParsePrefix("0.0.0.0/8"), netip.MustParsePrefix("100.64.0.0/10"), netip.MustParsePrefix("192.0.0.0/24"),
	netip.MustParsePrefix("192.0.2.0/24"), netip.MustParsePrefix("192.88.99.0/24"), netip.MustParsePrefix("198.18.0.0/15"),
	netip.MustParsePrefix("198.51.100.0/24"), netip.MustParsePrefix("203.0.113.0/24"), netip.MustParsePrefix("240.0.0.0/4"),
	netip.MustParsePrefix("64:ff9b::/96"), netip.MustParsePrefix("64:ff9b:1::/48"), netip.MustParsePrefix("100::/64"),
	netip.MustParsePrefix("2001::/23"), netip.MustParsePrefix("2001:db8::/32"), netip.MustParsePrefix("2002::/16"),
}

func public(at netip.Addr) bool {
	if !at.IsGlobalUnicast() || at.IsPrivate() || at.Zone() != "" {
		return false
	}
	for _, each := range special {
		if each.Contains(at) {
			return false
		}
	}
	return true
}

// Push sends a message to a device.
func (p *Post) Push(ctx context.Context, keys push.Keys, d push.Device, message []byte) push.Answer {
	if err := takes(d); err != nil {
		return push.Answer{Outcome: push.Gone, Said: err.Error()}
	}
	if len(message) > push.MessageMost {
		return push.Answer{Outcome: push.Refused, Said: "the message is too long for a push service"}
	}
	var handed atomic.Bool // something of it may have gone to the other side
	ctx = httptrace.WithClientTrace(ctx, &httptrace.ClientTrace{WroteHeaders: func() { handed.Store(true) }})
	answer, err := webpush.SendNotificationWithContext(ctx, message, &webpush.Subscription{
		Endpoint: d.Endpoint, Keys: webpush.Keys{Auth: d.Secret, P256dh: d.Key},
	}, &webpush.Options{
		HTTPClient: p.client, Subscriber: p.contact, VAPIDPublicKey: keys.Public, VAPIDPrivateKey: keys.Private,
		TTL: int(keptFor.Seconds()), Urgency: webpush.UrgencyNormal,
	})
	if err != nil {
		if handed.Load() {
			return push.Answer{Outcome: push.Perhaps, Said: "the connection to the push service ended before it answered"}
		}
		return push.Answer{Outcome: push.Later, Said: reason(err)}
	}
	text, _ := io.ReadAll(io.LimitReader(answer.Body, saidMost)) // only to say it
	_ = answer.Body.Close()
	return outcome(answer.StatusCode, answer.Header.Get("Retry-After"), strings.ToValidUTF8(strings.TrimSpace(string(text)), ""))
}

// afterMost bounds, in seconds, how long a push service may have a message wait (ours).
const afterMost = 24 * 60 * 60

// reason is what went wrong on the way, without the address: that is the device's secret.
func reason(err error) string {
	var at *url.Error
	if errors.As(err, &at) {
		err = at.Err
	}
	return err.Error()
}

// outcome reads a push service's answer.
func outcome(status int, after, text string) push.Answer {
	a := push.Answer{Said: strings.TrimSpace(strconv.Itoa(status) + " " + text)}
	switch {
	case status >= 200 && status < 300:
		a.Said = ""
	case status == http.StatusNotFound, status == http.StatusGone: // RFC 8030, 7.3
		a.Outcome = push.Gone
	case status == http.StatusTooManyRequests, status == http.StatusRequestTimeout, status >= 500:
		a.Outcome = push.Later
		if seconds, err := strconv.Atoi(after); err == nil && seconds > 0 {
			a.After = time.Duration(min(seconds, afterMost)) * time.Second
		} else if at, err := http.ParseTime(after); err == nil {
			a.After = min(max(0, time.Until(at)), afterMost*time.Second)
		}
	default:
		a.Outcome = push.Refused
	}
	return a
}
