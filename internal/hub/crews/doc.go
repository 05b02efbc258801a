// Package crews serves the crew's desks of a hub: one for each association, below
// /crew/ASSOCIATION/ at the hub's address, with the operations of the desk on a
// coordinator's own computer. Coordinators need a session of that association; whoever
// opens a link needs nothing but the link, and sees and does what it is for.
//
//	desks := crews.New(crews.Config{Open: open, Runs: runs, ...})
//	defer desks.Close()
//	mux.Handle("/crew/", desks)
//
// What stands in front (headers, forms from elsewhere, a panic) is the hub's shell. Who may
// run a desk comes in by Runs, where its papers lie by Open.
package crews
