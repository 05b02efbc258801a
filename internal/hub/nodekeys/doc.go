// Package nodekeys makes and reads the keys with which the nodes between hubs and the
// hubs know each other: an authority of one's own, a certificate for each node and one
// for all hubs. Whoever has none is not answered, and nobody on the way can read what is
// said.
//
//	err := nodekeys.Make("keys", map[string][]string{"a": {"10.0.0.1"}, "b": {"10.0.0.2"}, "c": {"10.0.0.3"}}, time.Now())
//	keys, err := nodekeys.Load("keys/a") // carried to node a, with nothing else
//	listen := keys.Server()
//
// A folder has authority.pem, certificate.pem and key.pem, so that keys of an authority
// that is there already do as well. That of the authority itself is needed for further
// nodes only: it belongs on no node.
package nodekeys
