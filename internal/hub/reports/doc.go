// Package reports is the official record of an association's games as its hub has it:
// which report is sealed, which was changed since, which is wanted once more, whether
// what is there holds together, and an archive to take along. It has numbers and no
// names, since none reach a hub.
//
//	league := reports.Reports{Live: games, Store: store, Association: "harbour"}
//	list, err := league.List(ctx, reports.Filter{State: reports.Sealed, From: "2026-11-01"})
//	one, err := league.Read(ctx, list[0].Game.ID)
//	fmt.Println(one.Verdict.Seals)
package reports
