// Package rooms lets phones speak with a bench that runs in a browser, which no address
// leads to: both come to the hub, which hands on what they say and understands none of
// it. A room is kept in no database and on no disk; it is there as long as its bench
// listens, and each bench has one at a time.
//
//	all := rooms.New(rooms.Config{Asker: bus, Now: office.Now, Random: rand.Reader})
//	bench, err := all.Open(ctx, rooms.Bench{Association: "harbour", ID: token.ID}, salt)
//	phone, err := all.Enter(ctx, bench.Room())
//	err = all.Say(ctx, bench.Room(), phone.ID(), []string{"what no hub can read"})
//	for _, event := range bench.Take() {
//		// here, texts, gone
//	}
//
// Bench and phone may have reached different processes of the hub: what they say goes
// from one to the other by the bus. What is on its way when a process ends is lost, and
// both ends are told that they do not reach each other; they come again and begin anew.
package rooms
