package main

import (
	"fmt"
	"os"
	"strings"

	"whistlestop/game/message"
	"whistlestop/internal/hub/busnode"
)

type hubNodeCommand struct {
	Data    string `type:"path" required:""`
	Name    string `required:""`
	Listen  string `default:"127.0.0.1:4222"`
	Cluster string `default:"127.0.0.1:6222"`
	Others  []string
	Secret  string `type:"existingfile"`
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
	node, err := busnode.Start(busnode.Config{
		Name: c.Name, Folder: c.Data, Listen: c.Listen, Cluster: c.Cluster, Others: c.Others,
		Secret: strings.TrimSpace(string(secret)), Logger: p.logger,
	})
	if err != nil {
		return message.Because(err, "hubnational.no_node")
	}
	p.nodes = append(p.nodes, node)
	p.failed = make(chan error) // it goes on until it is told to end
	_, err = fmt.Fprintf(p.Out, "node %s\n", node.URL())
	return err
}
