// Package seeds reads which seeds a simulation is asked to play.
//
//	first, count := seeds.Number(t, "WHISTLESTOP_SEED", 1), seeds.Number(t, "WHISTLESTOP_SEEDS", 60)
package seeds
