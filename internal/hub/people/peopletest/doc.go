// Package peopletest is the suite that every store of people passes.
//
//	func TestPeople(t *testing.T) {
//		peopletest.Run(t, func(t *testing.T) peopletest.Store { return open(t, t.TempDir()) })
//	}
package peopletest
