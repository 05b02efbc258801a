// Package durable writes files that are there after a power cut once it says so:
// the content is synced, and so is the folder that names it. A file in its final
// place is never half written.
//
//	disk := durable.System()
//	err := durable.Write(disk, "/media/stick/games.jsonl", content)
//	if err == nil {
//		fmt.Println("saved")
//	}
package durable
