package lan

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"net"
	"time"

	"github.com/pion/mdns/v2"
	"golang.org/x/net/ipv4"
	"golang.org/x/net/ipv6"
)

// look is how often the interfaces are looked at: a laptop joins another Wi-Fi,
// or opens a hotspot of its own, while the bench runs.
const look = 5 * time.Second

// LocalName returns a name for the local network, such as
// "whistlestop-kftb.local", that stays the same for the same seed and says
// nothing about it. Two benches at one rink get different ones.
func LocalName(seed string) string {
	const letters = "bcdfghjkmnpqrstvwxz"
	sum := sha256.Sum256([]byte("whistlestop name " + seed))
	name := []byte("whistlestop-????.local")
	for i := range 4 {
		name[len("whistlestop-")+i] = letters[int(sum[i])%len(letters)]
	}
	return string(name)
}

// Announcement is what the local network is told (DNS-SD, RFC 6763): devices
// find the bench by its name, without the internet and without typing numbers.
type Announcement struct {
	Name    string // which ends in .local
	Service string // "_http._tcp" or "_https._tcp"
	Port    uint16
	Path    string // of the page to open

	// Trouble gets what went wrong. Announcing is tried again: the address on the
	// bench's screen works without it.
	Trouble func(error)
}

// Announce tells the network until ctx is done, and again whenever the
// addresses of this machine changed.
func (a *Addresses) Announce(ctx context.Context, what Announcement) {
	a.announce(ctx, what, open)
}

// announce is Announce with the way in which the network is told.
func (a *Addresses) announce(ctx context.Context, what Announcement, open func(Announcement) (io.Closer, error)) {
	var told io.Closer
	end := func() {
		if told != nil {
			if err := told.Close(); err != nil {
				what.Trouble(fmt.Errorf("end an announcement: %w", err))
			}
			told = nil
		}
	}
	defer end()
	tick := time.NewTicker(look)
	defer tick.Stop()
	known := "nothing yet"
	failed := ""
	for {
		if now := fmt.Sprint(a.now()); now != known || told == nil {
			end()
			known = now
			var err error
			if told, err = open(what); err != nil {
				told = nil
				if err.Error() != failed { // say it once, try on
					what.Trouble(err)
				}
				failed = err.Error()
			} else {
				failed = ""
			}
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

// open answers questions for the name and the service on all interfaces that
// are up.
func open(what Announcement) (io.Closer, error) {
	return answer(what)
}

// answer is open with further options, which a test needs to stay on loopback.
func answer(what Announcement, options ...mdns.ServerOption) (io.Closer, error) {
	v4, err4 := listen4()
	v6, err6 := listen6()
	if v4 == nil && v6 == nil {
		return nil, errors.Join(err4, err6)
	}
	options = append(options,
		mdns.WithLocalNames(what.Name),
		mdns.WithService(mdns.ServiceInstance{
			Instance: "Whistlestop at the bench (" + what.Name + ")", Service: what.Service,
			Host: what.Name + ".", Port: what.Port,
			Text: []mdns.TXTEntry{mdns.NewTXTString("path", what.Path)},
		}))
	server, err := mdns.NewServer(v4, v6, options...)
	if err != nil {
		if v4 != nil {
			err = errors.Join(err, v4.Close())
		}
		if v6 != nil {
			err = errors.Join(err, v6.Close())
		}
		return nil, err
	}
	return server, nil
}

func listen4() (*ipv4.PacketConn, error) {
	address, err := net.ResolveUDPAddr("udp4", mdns.DefaultAddressIPv4)
	if err != nil {
		return nil, err
	}
	c, err := net.ListenUDP("udp4", address)
	if err != nil {
		return nil, err
	}
	return ipv4.NewPacketConn(c), nil
}

func listen6() (*ipv6.PacketConn, error) {
	address, err := net.ResolveUDPAddr("udp6", mdns.DefaultAddressIPv6)
	if err != nil {
		return nil, err
	}
	c, err := net.ListenUDP("udp6", address)
	if err != nil {
		return nil, err
	}
	return ipv6.NewPacketConn(c), nil
}
