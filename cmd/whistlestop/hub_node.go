package main

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"whistlestop/game/message"
	"whistlestop/internal/hub/busnode"
	"whistlestop/internal/hub/nodekeys"
)

type hubNodeCommand struct {
	Data    string `type:"path" required:""`
	Name    string `required:""`
	Listen  string `default:"127.0.0.1:4222"`
	Cluster string `default:"127.0.0.1:6222"`
	Others  []string
	Secret  string `type:"existingfile"`
	Keys    string `type:"existingdir"`
}

type hubKeysCommand struct {
	Folder string   `arg:"" type:"path"`
	Nodes  []string `arg:""`
}

// hubKeys makes an authority and keys for nodes and hubs. A node is its name, an equals
// sign and what it is reached by, with slashes between: a=10.0.0.1/node-a.
func (p *Program) hubKeys(c hubKeysCommand) error {
	nodes := map[string][]string{}
	for _, one := range c.Nodes {
		name, hosts, is := strings.Cut(one, "=")
		if !is || hosts == "" {
			return message.New("hubnodes.no_host", "node", one)
		}
		nodes[name] = strings.Split(hosts, "/")
	}
	if err := nodekeys.Make(c.Folder, nodes, time.Now()); err != nil {
		return message.Because(err, "hubnodes.no_keys_made", "folder", c.Folder)
	}
	p.print("hubnodes.keys_made", "folder", c.Folder)
	return nil
}

// keysSoon is how long before their end keys are spoken of (ours): a season's break.
const keysSoon = 90 * 24 * time.Hour

// keysIn reads the keys of a folder; nil: none is given.
func (p *Program) keysIn(folder string) (*nodekeys.Keys, error) {
	if folder == "" {
		return nil, nil
	}
	keys, err := nodekeys.Load(folder)
	if err != nil {
		return nil, message.Because(err, "hubnodes.bad_keys", "folder", folder)
	}
	if left := time.Until(keys.Ends()); left < keysSoon {
		p.logger.Warn("the keys of nodes and hubs end soon: make others, and give every node and hub its own before", "folder", folder, "end", keys.Ends())
	}
	return keys, nil
}

// hubNode runs one of the nodes between the processes of a hub.
func (p *Program) hubNode(c hubNodeCommand) error {
	var secret []byte
	if c.Secret != "" {
		var err error
		if secret, err = os.ReadFile(c.Secret); err != nil {
			return &folderError{folder: c.Secret, err: err}
		}
	}
	keys, err := p.keysIn(c.Keys)
	if err != nil {
		return err
	}
	node, err := busnode.Start(busnode.Config{
		Name: c.Name, Folder: c.Data, Listen: c.Listen, Cluster: c.Cluster, Others: c.Others,
		Secret: strings.TrimSpace(string(secret)), Keys: keys, Logger: p.logger,
	})
	var plain *busnode.PlainError
	if errors.As(err, &plain) {
		return message.New("hubnodes.plain", "host", plain.Address)
	}
	if err != nil {
		return message.Because(err, "hubnational.no_node")
	}
	p.nodes = append(p.nodes, node)
	p.failed = make(chan error) // it goes on until it is told to end
	_, err = fmt.Fprintf(p.Out, "node %s\n", node.URL())
	return err
}
