// Package office is what opens something at a hub without a person being signed in:
// tokens of benches, links of teams, the link that makes an admin; and the log of what
// people did.
//
// A secret is made here, shown once and kept as its SHA-256. A link that makes an
// admin is used up by the first who takes it; a bench's token ends by itself or is
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
