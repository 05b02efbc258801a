package slot

import "whistlestop/game/entry"

// What a game is taken to be like before it has shown anything of its own. None
// of it counts against anybody: it only says where a forecast begins.
var (
	// typicalLengths are lengths of stoppages, each as likely as the others:
	// common practice, no source. Half are below 25 seconds; goals, calls and
	// lost pucks make the long end.
	typicalLengths = seconds(8, 11, 14, 17, 19, 21, 23, 25, 27, 30, 34, 39, 46, 57, 75, 105)
	// typicalTurns are the times from the end of a period to the start of the
	// intermission's clock and from its end to the face-off, taken together:
	// common practice, no source.
	typicalTurns = seconds(20, 30, 35, 40, 45, 55, 70, 90)
	// typicalDelays are injuries and repairs without a clock, from their
	// beginning: common practice, no source.
	typicalDelays = seconds(60, 90, 120, 180, 240, 360)
	// shootOutRounds are lengths of a shoot-out: common practice, no source.
	shootOutRounds = seconds(150, 180, 210, 240, 300, 420)
)

const (
	// typicalEvery is the play from one stoppage to the next. The open
	// play-by-play of 135 professional games has a face-off every 68.6 seconds;
	// open_test.go counts them again where the data is at hand.
	typicalEvery = entry.Millis(69_000)
	// typicalWeight is how many stoppages of this game weigh as much as all that
	// is typical: about a period's (common practice, no source).
	typicalWeight = 12
	// afterTimeOut is what a time-out takes beside its own length, less the
	// stoppage in which it falls: common practice, no source.
	afterTimeOut = entry.Millis(10_000)
	// stillLeast is what is left of a stoppage that has been longer than any.
	stillLeast = entry.Millis(5_000)
	// longest is a pause that is taken for a stoppage of play. Longer ones are
	// something else: a repair, or a clock that nobody started.
	longest = entry.Millis(10 * 60_000)
)

// tiedInHundred is how many games in a hundred with a lead of so many goals are
// tied at the end of regulation: common practice, no source. It does not depend
// on the time left, so that more play left never makes a forecast earlier.
var tiedInHundred = []uint64{30, 18, 7, 2}

func seconds(list ...entry.Millis) []entry.Millis {
	for i := range list {
		list[i] *= 1000
	}
	return list
}
