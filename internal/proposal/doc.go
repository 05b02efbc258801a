// Package proposal keeps what a copy of a game has beyond the game itself and nothing
// shows this bench to have written: a person decides whether it happened. What is
// taken goes into the game behind what is there, what is declined is remembered, and
// after a sealed report nothing is ever taken.
//
//	waiting := proposal.New(proposal.Config{Declined: file, Logger: logger})
//	waiting.Over(live)
//	waiting.Propose(ledger, 41) // 41 entries of it are here
//	done, err := waiting.Decide(ctx, waiting.List()[0].ID, true)
package proposal
