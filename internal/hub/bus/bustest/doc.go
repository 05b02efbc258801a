// Package bustest is the one suite that every bus between the processes of a hub passes:
// what is published is told to all who follow, in its order, whoever is slow.
//
//	func TestSuite(t *testing.T) {
//		bustest.Run(t, func(t *testing.T) (here, there bus.Bus) { one := bus.NewMemory(); return one, one })
//	}
package bustest
