package busnode

import (
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/url"
	"strconv"
	"time"

	"github.com/nats-io/nats-server/v2/server"
	"github.com/nats-io/nats.go"

	"whistlestop/internal/folder/durable"
	"whistlestop/internal/hub/jetstream"
	"whistlestop/internal/hub/nodekeys"
)

// Config is what a node needs.
type Config struct {
	Name    string         // differs between the nodes
	Folder  string         // made if it is not there
	Listen  string         // address for hubs
	Cluster string         // address for the other nodes
	Others  []string       // those of the other nodes
	Secret  string         // what hubs and nodes show each other; empty: nothing, for tests on one machine
	Keys    *nodekeys.Keys // with which they know each other; nil: nobody listens at another computer
	Most    int64          // bytes that it keeps at most; 0: 8 GB
	Logger  *slog.Logger
}

// user is the name that goes with the secret.
const user = "whistlestop"

// mostBytes is 14 days of a national body many times over (ours).
const mostBytes = 8 << 30

// handshakeWithin is how many seconds an encrypted connection may take to begin.
const handshakeWithin = 10

// startWithin is how long a node may take to read what it has.
const startWithin = 2 * time.Minute

// ErrNotReady says that a node did not come up.
var ErrNotReady = errors.New("the node did not come up: look at what it says in the log")

// PlainError says that a node would talk without encryption at an address that other
// computers reach.
type PlainError struct{ Address string }

// Error names the address.
func (e *PlainError) Error() string {
	return fmt.Sprintf("%s is reached by other computers, and without keys everybody on the way could read and change what is said there", e.Address)
}

// Node is a node that runs.
type Node struct {
	server *server.Server
	tells  *nats.Conn
}

// options are the node's settings. What it acknowledged has to outlive a power cut, so
// there is no choice about that.
func (c Config) options() (*server.Options, error) {
	host, port, err := split(c.Listen)
	if err != nil {
		return nil, err
	}
	clusterHost, clusterPort, err := split(c.Cluster)
	if err != nil {
		return nil, err
	}
	for address, at := range map[string]string{c.Listen: host, c.Cluster: clusterHost} {
		if c.Keys == nil && !nodekeys.Here(at) {
			return nil, &PlainError{Address: address}
		}
	}
	if c.Most == 0 {
		c.Most = mostBytes
	}
	o := &server.Options{
		ServerName: c.Name, Host: host, Port: port, NoSigs: true,
		JetStream: true, StoreDir: c.Folder, SyncAlways: true, JetStreamMaxStore: c.Most, JetStreamMaxMemory: 64 << 20,
		// Hubs know all nodes: what a node thinks that the others are reached by may be another name
		// than that in their keys.
		Cluster: server.ClusterOpts{Name: user, Host: clusterHost, Port: clusterPort, NoAdvertise: true},
	}
	if c.Keys != nil {
		o.TLSConfig, o.TLSVerify, o.TLSTimeout = c.Keys.Server(), true, handshakeWithin
		o.Cluster.TLSConfig, o.Cluster.TLSTimeout = c.Keys.Server(), handshakeWithin
		// Else nodes tell each other of addresses that are not in their keys, and knock there for ever.
		if own := c.Keys.Host(); own != "" {
			o.Cluster.Advertise = net.JoinHostPort(own, strconv.Itoa(clusterPort))
		}
	}
	if c.Secret != "" {
		o.Username, o.Password = user, c.Secret
		o.Cluster.Username, o.Cluster.Password = user, c.Secret
	}
	for _, other := range c.Others {
		route := &url.URL{Scheme: "nats", Host: other}
		if c.Secret != "" {
			route.User = url.UserPassword(user, c.Secret)
		}
		o.Routes = append(o.Routes, route)
	}
	return o, nil
}

func split(address string) (string, int, error) {
	host, text, err := net.SplitHostPort(address)
	if err != nil {
		return "", 0, err
	}
	port, err := strconv.Atoi(text)
	return host, port, err
}

// Start starts a node and returns when hubs can reach it. Others of its cluster may
// still be away.
func Start(c Config) (*Node, error) {
	o, err := c.options()
	if err != nil {
		return nil, err
	}
	if err := durable.MakeFolder(c.Folder); err != nil {
		return nil, err
	}
	s, err := server.NewServer(o)
	if err != nil {
		return nil, err
	}
	s.SetLogger(logger{c.Logger}, false, false)
	s.Start()
	n := &Node{server: s}
	if !s.ReadyForConnections(startWithin) {
		n.Stop()
		return nil, ErrNotReady
	}
	if n.tells, err = nats.Connect("", nats.InProcessServer(s), nats.UserInfo(o.Username, o.Password), nats.MaxReconnects(-1)); err == nil {
		err = jetstream.Tell(n.tells, jetstream.Settings{Name: c.Name, SyncAlways: o.SyncAlways})
	}
	if err != nil {
		n.Stop()
		return nil, err
	}
	return n, nil
}

// URL is where hubs reach the node.
func (n *Node) URL() string { return n.server.ClientURL() }

// Stop lets hubs go to other nodes and ends the node.
func (n *Node) Stop() {
	if n.tells != nil {
		n.tells.Close()
	}
	n.server.Shutdown()
	n.server.WaitForShutdown()
}

// logger writes what the server says where everything else is written.
type logger struct{ to *slog.Logger }

func (l logger) Noticef(format string, v ...any) { l.to.Debug(fmt.Sprintf(format, v...)) }
func (l logger) Warnf(format string, v ...any)   { l.to.Warn(fmt.Sprintf(format, v...)) }
func (l logger) Fatalf(format string, v ...any)  { l.to.Error(fmt.Sprintf(format, v...)) }
func (l logger) Errorf(format string, v ...any)  { l.to.Error(fmt.Sprintf(format, v...)) }
func (l logger) Debugf(format string, v ...any)  { l.to.Debug(fmt.Sprintf(format, v...)) }
func (l logger) Tracef(format string, v ...any)  { l.to.Debug(fmt.Sprintf(format, v...)) }
