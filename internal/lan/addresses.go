package lan

import (
	"net"
	"net/netip"
	"slices"
	"sync"
	"time"
)

// keep is how long the list of addresses is trusted. A laptop that joins another
// network is noticed after that.
const keep = 5 * time.Second

// Addresses is the addresses of this machine's network interfaces. It is safe
// for use by many goroutines.
type Addresses struct {
	look func() ([]netip.Addr, error)

	mutex  sync.Mutex
	looked time.Time
	all    []netip.Addr
}

// NewAddresses returns the addresses of this machine.
func NewAddresses() *Addresses { return &Addresses{look: interfaces} }

func interfaces() ([]netip.Addr, error) {
	found, err := net.InterfaceAddrs()
	if err != nil {
		return nil, err
	}
	var all []netip.Addr
	for _, one := range found {
		if prefix, err := netip.ParsePrefix(one.String()); err == nil {
			all = append(all, plain(prefix.Addr()))
		}
	}
	return all, nil
}

// plain takes off what tells equal addresses apart: the zone, and IPv4 written
// as IPv6.
func plain(a netip.Addr) netip.Addr { return a.Unmap().WithZone("") }

// Has reports whether an address is this machine's own. A loopback address
// always is.
func (a *Addresses) Has(address netip.Addr) bool {
	address = plain(address)
	return address.IsLoopback() || slices.Contains(a.now(), address)
}

// All returns the addresses of this machine, loopback among them.
func (a *Addresses) All() []netip.Addr { return slices.Clone(a.now()) }

// Outward returns an address by which others on the network reach this machine:
// a private IPv4 address if there is one. It returns false when there is none.
func (a *Addresses) Outward() (netip.Addr, bool) {
	all := a.now()
	for _, fits := range []func(netip.Addr) bool{
		func(a netip.Addr) bool { return a.Is4() && a.IsPrivate() },
		func(a netip.Addr) bool { return a.Is4() && a.IsGlobalUnicast() },
		netip.Addr.IsGlobalUnicast,
	} {
		if i := slices.IndexFunc(all, fits); i >= 0 {
			return all[i], true
		}
	}
	return netip.Addr{}, false
}

// now returns the list, looked up again when it is old. When that fails the old
// list stays.
func (a *Addresses) now() []netip.Addr {
	a.mutex.Lock()
	defer a.mutex.Unlock()
	if a.looked.IsZero() || time.Since(a.looked) > keep {
		if all, err := a.look(); err == nil {
			a.all = all
		}
		a.looked = time.Now()
	}
	return a.all
}
