// Package keyfile keeps the bench's key, with which reports are sealed. The key is
// made when it is first needed.
//
//	keys := keyfile.New(privatefile.At("/var/games/bench-key.pem"))
//	key, err := keys.Key()
package keyfile
