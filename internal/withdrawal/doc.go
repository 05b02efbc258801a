// Package withdrawal takes people's names out of everything that a bench keeps: the
// games, their copies on sticks and in backups, the teams' lists and the devices at the
// seats. One person's name goes from all of it (Withdraw); or the names of everybody go
// from the copies and stay on the bench (EndNames). What went is noted by ids and
// hashes, so that an older copy brings no name back, and a stick that was away is gone
// through when it is there again.
//
//	kept := &withdrawal.Kept{Folder: folder, Games: store.Games, Live: live, List: list, Ended: ended, Key: key}
//	found, err := kept.Withdraw(ctx, "Maren Holt", false)
//	for _, game := range found.Games {
//		fmt.Println(game.Title.Home, game.Texts)
//	}
package withdrawal
