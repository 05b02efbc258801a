package lan

import (
	"errors"
	"net/netip"
	"testing"
	"testing/synctest"
	"time"
)

func at(text ...string) (all []netip.Addr) {
	for _, one := range text {
		all = append(all, netip.MustParseAddr(one))
	}
	return all
}

func TestHas(t *testing.T) {
	a := &Addresses{look: func() ([]netip.Addr, error) { return at("127.0.0.1", "192.168.7.20", "fe80::1"), nil }}
	for text, want := range map[string]bool{
		"127.0.0.1": true, "127.3.2.1": true, "::1": true, "::ffff:127.0.0.1": true,
		"192.168.7.20": true, "::ffff:192.168.7.20": true, "fe80::1%eth0": true,
		"192.168.7.21": false, "10.0.0.1": false, "fe80::2": false,
	} {
		if got := a.Has(netip.MustParseAddr(text)); got != want {
			t.Errorf("Has(%s) = %v, want %v", text, got, want)
		}
	}
}

func TestOutwardPrefersWhatOthersCanReach(t *testing.T) {
	for _, test := range []struct {
		all  []netip.Addr
		want string
	}{
		{at("127.0.0.1", "::1", "fe80::1"), "invalid IP"},
		{at("127.0.0.1", "2001:db8::1", "192.0.2.9", "10.1.2.3"), "10.1.2.3"},
		{at("127.0.0.1", "2001:db8::1", "192.0.2.9"), "192.0.2.9"},
		{at("127.0.0.1", "2001:db8::1"), "2001:db8::1"},
	} {
		a := &Addresses{look: func() ([]netip.Addr, error) { return test.all, nil }}
		got, found := a.Outward()
		if got.String() != test.want || found != got.IsValid() {
			t.Errorf("of %v: %v, %v, want %s", test.all, got, found, test.want)
		}
	}
}

func TestAnotherNetworkIsNoticed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		all, fails := at("192.168.7.20"), error(nil)
		a := &Addresses{look: func() ([]netip.Addr, error) { return all, fails }}
		old, new := netip.MustParseAddr("192.168.7.20"), netip.MustParseAddr("10.0.0.9")
		if !a.Has(old) {
			t.Fatal("the address is not known")
		}
		all = at("10.0.0.9")
		time.Sleep(keep + time.Second)
		if a.Has(old) || !a.Has(new) {
			t.Error("the new network was not noticed")
		}
		fails = errors.New("no")
		time.Sleep(keep + time.Second)
		if !a.Has(new) {
			t.Error("the list was lost when it could not be looked up")
		}
	})
}

func TestThisMachineHasLoopback(t *testing.T) {
	all, err := interfaces()
	if err != nil || len(all) == 0 {
		t.Fatalf("got %v, %v", all, err)
	}
}
