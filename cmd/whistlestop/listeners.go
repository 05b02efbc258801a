package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/netip"
	"strconv"

	"whistlestop/internal/lan"
)

// serveFlags say where the bench is reached.
type serveFlags struct {
	Listen   string `default:"127.0.0.1:8480"`
	Lan      bool
	HTTPS    string `name:"https"`
	QuietLan bool
}

// listeners are the addresses at which the program listens.
type listeners struct {
	own    *lan.Addresses
	plain  net.Listener
	secure net.Listener // nil: nothing is encrypted
	names  [2]string    // as the flags name them, plain and secure
	local  string       // the name on the local network
}

// openListeners listens where the flags say.
func openListeners(ctx context.Context, flags serveFlags, own *lan.Addresses) (*listeners, error) {
	d := &listeners{own: own}
	listen := flags.Listen
	if flags.Lan {
		_, port, err := net.SplitHostPort(flags.Listen)
		if err != nil {
			return nil, &listenError{address: flags.Listen, err: err}
		}
		listen = net.JoinHostPort("", port)
	}
	var err error
	if d.plain, d.names[0], err = listenAt(ctx, listen); err != nil {
		return nil, err
	}
	if flags.HTTPS == "" {
		return d, nil
	}
	if d.secure, d.names[1], err = listenAt(ctx, flags.HTTPS); err != nil {
		return nil, errors.Join(err, d.close())
	}
	return d, nil
}

func listenAt(ctx context.Context, address string) (net.Listener, string, error) {
	name, _, err := net.SplitHostPort(address)
	if err != nil {
		return nil, "", &listenError{address: address, err: err}
	}
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", address)
	if err != nil {
		return nil, "", &listenError{address: address, err: err}
	}
	return listener, name, nil
}

func (d *listeners) close() error {
	err := d.plain.Close()
	if d.secure != nil {
		err = errors.Join(err, d.secure.Close())
	}
	return err
}

// hosts are the names by which the program may be asked, beside its addresses.
func (d *listeners) hosts() []string {
	hosts := []string{d.local}
	for _, name := range d.names {
		if _, err := netip.ParseAddr(name); err != nil && name != "" {
			hosts = append(hosts, name)
		}
	}
	return hosts
}

// reach returns the address by which other devices reach the bench, encrypted if
// that is possible, and whether there is one.
func (d *listeners) reach() (address string, shared bool) {
	if d.secure != nil {
		if host, shared := d.outside(d.names[1], d.secure.Addr()); shared {
			return "https://" + host, true
		}
	}
	host, shared := d.outside(d.names[0], d.plain.Addr())
	return "http://" + host, shared
}

// outside returns the host by which others reach a listener, and whether they
// do. Otherwise it is the host for this machine.
func (d *listeners) outside(name string, address net.Addr) (host string, shared bool) {
	port := portOf(address)
	if !everywhere(name) {
		ip, err := netip.ParseAddr(name)
		return net.JoinHostPort(name, port), err == nil && !ip.IsLoopback() || err != nil && name != "localhost"
	}
	if outward, found := d.own.Outward(); found {
		return net.JoinHostPort(outward.String(), port), true
	}
	return net.JoinHostPort("127.0.0.1", port), false
}

// inside returns the host by which this machine itself reaches the bench.
func (d *listeners) inside() string {
	if everywhere(d.names[0]) {
		return net.JoinHostPort("127.0.0.1", portOf(d.plain.Addr()))
	}
	return net.JoinHostPort(d.names[0], portOf(d.plain.Addr()))
}

func portOf(address net.Addr) string {
	if tcp, ok := address.(*net.TCPAddr); ok {
		return strconv.Itoa(tcp.Port)
	}
	return ""
}

// everywhere reports whether the name that is listened on means every address.
func everywhere(name string) bool {
	ip, err := netip.ParseAddr(name)
	return name == "" || err == nil && ip.IsUnspecified()
}

// announcement is what the network is told, and whether anybody there can reach
// the bench.
func (d *listeners) announcement() (lan.Announcement, bool) {
	what := lan.Announcement{Name: d.local, Service: "_http._tcp", Path: "/join"}
	address := d.plain.Addr()
	_, shared := d.outside(d.names[0], address)
	shared = shared || everywhere(d.names[0]) // a network may come later
	if d.secure != nil {
		what.Service, address, shared = "_https._tcp", d.secure.Addr(), true
	}
	port, err := strconv.ParseUint(portOf(address), 10, 16)
	what.Port = uint16(port)
	return what, shared && err == nil
}

// print says where the bench is, and how phones get there.
func (d *listeners) print(out io.Writer, w words, game, fingerprint string) error {
	if game != "" {
		game = "/" + game
	}
	wall, _ := d.outside(d.names[0], d.plain.Addr())
	_, err := fmt.Fprintf(out, "bench http://%s/bench%s\nwall http://%s/wall%s\n", d.inside(), game, wall, game)
	address, shared := d.reach()
	if err != nil || !shared {
		return err
	}
	scheme, port := "http", portOf(d.plain.Addr())
	if fingerprint != "" {
		scheme, port = "https", portOf(d.secure.Addr())
	}
	_, err = fmt.Fprintf(out, "phones %s/join\nphones %s://%s:%s/join\n", address, scheme, d.local, port)
	if err != nil {
		return err
	}
	how := w.say("program.phones_plain")
	if fingerprint != "" {
		how = w.say("program.phones_secure", "fingerprint", fingerprint)
	}
	_, err = fmt.Fprintln(out, how)
	return err
}
