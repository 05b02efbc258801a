// Package lan is this machine on the local network: which addresses are its own,
// by which others reach it, its name announced to them, its certificate, and
// addresses as QR codes.
//
//	own := lan.NewAddresses()
//	if own.Has(netip.MustParseAddr("192.168.1.20")) {
//		// the request came from, or to, this machine
//	}
package lan
