package maker

import "whistlestop/practice/plot"

// Rates of events in a hundred hours of play, as measured in open play-by-play of
// a women's professional league, seasons 2023-24 and 2024-25 (135 games, 141.8
// hours of play; the data has its source in package internal/proof/openplay). A test
// measures them again where the data is at hand. There is no open data of youth
// games: the rates are per hour of play, so a division with shorter periods gets
// fewer of everything, and that is all the scaling that can be founded.
const (
	WhistlesPer100Hours = 4974 // stoppages, each ended by a face-off
	GoalsPer100Hours    = 444
	CalledPer100Hours   = 580 // stoppages with a call
	CallsPer100Hours    = 618 // penalties
)

// Of a hundred thousand stoppages with a call, and of calls, as measured there.
const (
	callsBothSides = 46 // of a thousand stoppages with a call: both sides are called
	callsMore      = 10 // ... : one side is called twice
)

// callKinds are the calls of the measured games by how often they were made, of
// 837 minors, with the names of our list.
var callKinds = []struct {
	call   string
	weight int
}{
	{"tripping", 162}, {"hooking", 122}, {"roughing", 108}, {"interference", 97}, {"cross_checking", 65},
	{"slashing", 57}, {"holding", 57}, {"boarding", 46}, {"body_checking", 33}, {"delay_of_game", 32},
	{"high_sticking", 15}, {"kneeing", 7}, {"elbowing", 6}, {"holding_stick", 3},
}

// partKinds are what was imposed, of 876 penalties: minors, bench minors, majors.
// Game misconducts, match penalties and penalty shots (11 of them) are left to
// people who write scripts.
var partKinds = []int{837, 20, 8}

// whyKinds are what other whistles are for (common practice, no source: the data
// does not say).
var whyKinds = []struct {
	why    plot.Why
	weight int
}{{plot.ForPuck, 50}, {plot.ForOffside, 25}, {plot.ForIcing, 20}, {plot.ForNet, 3}, {plot.ForOfficial, 2}}

// assistKinds are how often a goal has none, one and two assists (common
// practice, no source: the data does not say).
var assistKinds = []int{8, 30, 62}
