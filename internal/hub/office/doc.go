// Package office is who may do what at a hub: benches with their tokens, links of
// teams, sessions, links that open a session, and the log of what people did.
//
// A secret is made here, shown once and kept as its SHA-256. A link that opens a
// session is used up by the first who takes it; a bench's token ends by itself or is
// taken back; a team's link can be made anew, and the old one then leads nowhere.
//
//	desk := office.New(store, "harbour", office.Now, rand.Reader)
//	secret, token, err := desk.Issue(ctx, office.Bench, "Saltworks Arena", office.BenchLasts, office.Here)
//	token, err = desk.Known(ctx, office.Bench, secret)
//	if errors.Is(err, office.ErrUnknown) {
//		// no token, one that ended, one that was taken back: the same answer
//	}
//
// It knows no transport.
package office
