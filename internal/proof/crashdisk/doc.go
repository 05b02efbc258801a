// Package crashdisk is a disk in memory for tests: it knows what was synced,
// fails or loses its power at a given step, and shows what is left then.
//
//	disk := crashdisk.New("/stick")
//	disk.FailAt(3, crashdisk.PowerCut)
//	err := durable.Write(disk, "/stick/games.jsonl", content)
//	after := disk.Restarted(random)
package crashdisk
