// Package busnode is one of the nodes that keep what passes between the processes of a
// hub: a JetStream server inside this program. It brings every message to the disk
// before it says that it has it, in a folder of its own, and belongs to a cluster; three
// of them in places that do not lose their power together are what a national hub runs.
//
//	node, err := busnode.Start(busnode.Config{
//		Name: "a", Folder: "/var/lib/whistlestop-node", Listen: "10.0.0.1:4222",
//		Cluster: "10.0.0.1:6222", Others: []string{"10.0.0.2:6222", "10.0.0.3:6222"}, Secret: secret, Keys: keys, Logger: logger,
//	})
//	defer node.Stop()
//
// What is said between nodes and hubs is encrypted, and both show a certificate of one
// authority. Only on one computer, for tests and demonstrations, there may be no keys:
// elsewhere Start returns a *PlainError.
package busnode
