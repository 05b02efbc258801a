// Package people is who may do what at a hub: people of an association with their
// roles, invitations, sessions and what they are allowed. People are kept for each
// association apart: whoever helps two is two people here.
//
//	desk := people.New(store, "harbour", office.Now, rand.Reader)
//	secret, _, err := desk.Invite(ctx, caller, people.Membership{Role: people.Volunteer})
//	caller, secret, err := desk.Accept(ctx, secret, "Robin Ashdown", "", from)
//	caller, err = desk.Known(ctx, secret, from)
//	if caller.May(people.ChangeRota, people.On{People: []string{caller.Person}}) {
//		// their own duty
//	}
//
// Rights are one table (Rights), without a store. What lies on a disk comes in by
// Store; package peopletest has the suite that every store passes. It knows no
// transport.
package people
