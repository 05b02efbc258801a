// Package lan knows which addresses are this machine's own.
//
//	own := lan.NewAddresses()
//	if own.Has(netip.MustParseAddr("192.168.1.20")) {
//		// the request came from, or to, this machine
//	}
package lan
