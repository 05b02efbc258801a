// Package hubsim plays benches and a hub from a seed: benches enter, send, are started
// again, are lost and gone on with from an older copy; requests are lost on their way,
// answers on theirs, and some arrive twice; the hub's power is cut at any call to its
// disk; a coordinator decides forks and hands games over. Bench and hub are the real
// ones, over the real database; only the network and the disk are not. Two hubs over one
// PostgreSQL are played as well, with a bus between them that loses, doubles and mixes up,
// connections to the database that break before or behind what was sent, and benches that
// send at one moment; families watch at both, and in the end see what the database has. There a seed plays nearly the same
// again and not quite: the server takes its own time.
//
//	faults := hubsim.Play(t, 7)
//	for _, fault := range faults {
//		t.Error(fault)
//	}
//
// The oracle is apart from both: it notes what was acknowledged to a bench, and looks
// for it in the database after every cut and at the end.
package hubsim
