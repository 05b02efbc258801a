// Package seats knows which devices sit at the bench. A device becomes a seat in
// three steps: the bench makes an invite (a code to type, a token in a QR code),
// the device asks with it, a person at the bench approves. Then the device gets
// a token of its own, which the register keeps only as a hash.
//
// The package has no network and no disk: the time, the randomness and the place
// where sessions are kept are given to it.
//
//	register := seats.New(seats.Config{Now: live.Now, Random: rand.Reader, Keep: file.Write})
//	invite, err := register.Invite(game, seats.Role{Seat: entry.BoxSeat, Side: entry.Home})
//	request, err := register.Join(invite.Code, "Anna's phone", "192.168.7.31")
//	err = register.Approve(game, request.ID, seats.Role{})
//	paired, err := register.Poll(ctx, request.ID, request.Secret)
//	session, known := register.Session(paired.Token)
package seats
