// Package roots lets a follower prove later what a hub said once: where the ledger of a
// game ended at an hour. All heads of an association are the leaves of a Merkle tree
// (RFC 9162, section 2.1), and the hub signs its root with the hour. Whoever keeps a
// Proof, a few hundred bytes, can show with the hub's own signature that a line was there:
// a hub that wrote a ledger anew cannot have both.
//
//	tree := roots.Grow(association, heads, at)
//	root := tree.Sign(key)
//	proof, there := tree.Prove(root, game)
//	err := proof.Check()          // signature and way to the root
//	err = proof.Holds(lines)      // the ledger of today still has that line
package roots
