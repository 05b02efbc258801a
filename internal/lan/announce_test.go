package lan

import (
	"context"
	"errors"
	"io"
	"net/netip"
	"regexp"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/pion/mdns/v2"
)

func TestLocalName(t *testing.T) {
	name := LocalName("laptop /home/anna")
	if !regexp.MustCompile(`^whistlestop-[bcdfghjkmnpqrstvwxz]{4}\.local$`).MatchString(name) {
		t.Errorf("%q", name)
	}
	if name != LocalName("laptop /home/anna") || name == LocalName("laptop /home/bo") {
		t.Error("it is not the seed's own")
	}
}

type closer func()

func (c closer) Close() error { c(); return nil }

func TestAnnouncedAgainOnAnotherNetwork(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var mutex sync.Mutex // of what the test and the announcer both touch
		all := at("192.168.7.20")
		a := &Addresses{look: func() ([]netip.Addr, error) {
			mutex.Lock()
			defer mutex.Unlock()
			return all, nil
		}}
		var did []string
		var fails error
		note := func(what string) {
			mutex.Lock()
			defer mutex.Unlock()
			did = append(did, what)
		}
		change := func(addresses []netip.Addr, err error) {
			mutex.Lock()
			defer mutex.Unlock()
			all, fails = addresses, err
		}
		failing := func() error {
			mutex.Lock()
			defer mutex.Unlock()
			return fails
		}
		ctx, cancel := context.WithCancel(context.Background())
		done := make(chan struct{})
		go func() {
			defer close(done)
			a.announce(ctx, Announcement{Trouble: func(err error) { note(err.Error()) }},
				func(Announcement) (io.Closer, error) {
					if err := failing(); err != nil {
						return nil, err
					}
					note("open")
					return closer(func() { note("close") }), nil
				})
		}()
		step := func(want ...string) {
			t.Helper()
			synctest.Wait()
			mutex.Lock()
			defer mutex.Unlock()
			if !slices.Equal(did, want) {
				t.Errorf("did %v, want %v", did, want)
			}
			did = nil
		}
		step("open")
		time.Sleep(time.Minute)
		step()
		change(at("192.168.7.20", "10.42.0.1"), nil) // a hotspot of its own
		time.Sleep(11 * time.Second)
		step("close", "open")
		change(at("10.42.0.1"), errors.New("no multicast"))
		time.Sleep(time.Minute)
		step("close", "no multicast")
		change(at("10.42.0.1"), nil)
		time.Sleep(6 * time.Second)
		step("open")
		cancel()
		<-done
		step("close")
	})
}

// A client on this machine finds the bench by its name and by its service.
func TestTheNetworkFindsTheBench(t *testing.T) {
	what := Announcement{Name: LocalName(t.Name()), Service: "_http._tcp", Port: 8480, Path: "/join"}
	server, err := answer(what, mdns.WithIncludeLoopback(true))
	if err != nil {
		t.Skipf("this machine has no multicast: %v", err)
	}
	defer func() {
		if err := server.Close(); err != nil {
			t.Error(err)
		}
	}()
	v4, err := listen4()
	if err != nil {
		t.Skipf("this machine has no multicast: %v", err)
	}
	client, err := mdns.NewServer(v4, nil, mdns.WithIncludeLoopback(true))
	if err != nil {
		t.Skipf("this machine has no multicast: %v", err)
	}
	defer func() {
		if err := client.Close(); err != nil {
			t.Error(err)
		}
	}()
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
	defer cancel()
	if _, address, err := client.QueryAddr(ctx, what.Name); err != nil || !address.IsValid() {
		t.Errorf("%s is at %v, %v", what.Name, address, err)
	}
	found := make(chan mdns.ServiceEvent, 16)
	client.OnServiceDiscovered(func(e mdns.ServiceEvent) { found <- e })
	if err := client.Browse(ctx, what.Service); err != nil {
		t.Fatal(err)
	}
	for {
		select {
		case e := <-found:
			if e.Instance.Host == what.Name+"." && e.Instance.Port == 8480 {
				return
			}
		case <-ctx.Done():
			t.Fatal("the service was not found")
		}
	}
}
