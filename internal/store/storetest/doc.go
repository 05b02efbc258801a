// Package storetest is the conformance suite of the ledger stores: what every
// store must do, whatever it is made of.
//
//	func TestStore(t *testing.T) {
//		storetest.Run(t, func(t *testing.T) storetest.Store { return memory.New() })
//	}
package storetest
