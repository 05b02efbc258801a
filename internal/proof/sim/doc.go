// Package sim plays whole games on a simulated bench with several seats, over a
// network that drops, delays, doubles and cuts, on a disk that fails and a
// computer that crashes and sleeps, and whose time of day is set, or its battery
// flat, while the program is dead. Other games lie in the same folder, dated ahead
// and with a clock that runs, and strangers open them. Some of the games are on the
// real store, over files that fail. All chance comes from one seed and all time
// is simulated, so a seed replays a failure exactly. An auditor that shares no
// code with the bench holds the outcome against the oracle: what was
// acknowledged is in the ledger once and in order, what was not is whole or
// absent, every screen agrees in the end and never showed what did not hold, and
// the game clock is right within the bound that was shown.
//
// The bench, the rules and the chain are the real ones. The seats follow the
// contract of the browser's outbox: one post under way, in order, sent again with
// the same ids until there is an answer.
//
//	synctest.Test(t, func(t *testing.T) {
//		outcome := sim.Play(t.Context(), seed, "", synctest.Wait)
//		for _, fault := range outcome.Faults {
//			t.Errorf("seed %d: %s", seed, fault)
//		}
//	})
package sim
