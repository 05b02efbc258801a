// Package slot forecasts when a game will end, and whether that is within its
// ice time. It plays the rest of the game many times with seeded chance: how
// often play stops and for how long, as in this game so far and in games in
// general. The same state, instant and seed give the same forecast.
//
//	forecast := slot.Forecast(state, now, slot.Settings{Seed: 1})
//	if forecast.Over { show(forecast.Notice, forecast.Choices) }
package slot
