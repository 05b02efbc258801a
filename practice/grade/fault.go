package grade

// Fault is a kind of slip. The sentence that names one is the message
// "drill.slip.<fault>", the sentence that advises "drill.practise.<fault>".
type Fault string

// The kinds of slip, the gravest first; where two cost the same, the first is
// told first.
const (
	GoalMissing   Fault = "goal_missing"
	GoalNotBack   Fault = "goal_not_back" // taken back, and it still stands
	GoalDouble    Fault = "goal_double"
	GoalExtra     Fault = "goal_extra"
	GoalSide      Fault = "goal_side"
	GoalScorer    Fault = "goal_scorer"
	GoalAssists   Fault = "goal_assists"
	GoalHow       Fault = "goal_how"
	GoalMoment    Fault = "goal_moment"
	CallMissing   Fault = "call_missing"
	CallDouble    Fault = "call_double"
	CallExtra     Fault = "call_extra"
	CallSide      Fault = "call_side"
	CallNumber    Fault = "call_number"
	CallLength    Fault = "call_length" // other parts, or another length
	CallDoubled   Fault = "call_half"   // a double minor entered as one minor
	CallSignal    Fault = "call_signal"
	CallServer    Fault = "call_server"
	CallName      Fault = "call_name"
	CallMoment    Fault = "call_moment"
	CallOrder     Fault = "call_order"
	ReleaseLeft   Fault = "release_missing"
	ReleaseWrong  Fault = "release_wrong"
	ReleaseEarly  Fault = "release_early"
	ReleaseLate   Fault = "release_late"
	BackMissing   Fault = "back_missing" // carried over, and not seen back in the box
	SeatMissing   Fault = "seat_missing"
	ClockNotPut   Fault = "clock_not_put"
	StopMissing   Fault = "stop_missing"
	StopLate      Fault = "stop_late"
	StopEarly     Fault = "stop_early"
	StopExtra     Fault = "stop_extra" // while play goes on
	StartMissing  Fault = "start_missing"
	StartLate     Fault = "start_late"
	StartEarly    Fault = "start_early"
	StopRunning   Fault = "stop_running" // in running time the clock does not stop
	StageMissing  Fault = "stage_missing"
	HornMissing   Fault = "horn_missing"
	HornLate      Fault = "horn_late"
	TimeOutLeft   Fault = "time_out_missing"
	TimeOutSide   Fault = "time_out_side"
	TimeOutExtra  Fault = "time_out_extra"
	RunningLeft   Fault = "running_missing"
	RunningExtra  Fault = "running_extra"
	ChoiceMissing Fault = "choice_missing"
	ChoiceWrong   Fault = "choice_wrong"
	BoardMissing  Fault = "board_missing"
	BoardWrong    Fault = "board_wrong"
	CardSteps     Fault = "card_steps"
	DropOnHold    Fault = "drop_on_hold"
	ReadySlow     Fault = "ready_slow"
	EnteredLate   Fault = "entered_late" // right in the end
)

// Faults lists every fault in the order above.
var Faults = []Fault{
	GoalMissing, GoalNotBack, GoalDouble, GoalExtra, GoalSide, GoalScorer, GoalAssists, GoalHow, GoalMoment,
	CallMissing, CallDouble, CallExtra, CallSide, CallNumber, CallLength, CallDoubled, CallSignal, CallServer,
	CallName, CallMoment, CallOrder, ReleaseLeft, ReleaseWrong, ReleaseEarly, ReleaseLate, BackMissing,
	SeatMissing, ClockNotPut, StopMissing, StopLate, StopEarly, StopExtra, StartMissing, StartLate, StartEarly, StopRunning,
	StageMissing, HornMissing, HornLate, TimeOutLeft, TimeOutSide, TimeOutExtra, RunningLeft, RunningExtra, ChoiceMissing, ChoiceWrong,
	BoardMissing, BoardWrong, CardSteps, DropOnHold, ReadySlow, EnteredLate,
}

// Worth are the points of what a bench does right, and what a slip costs of
// them. A slip never costs more than the thing is worth.
const (
	worthStart   = 1
	worthStop    = 1
	worthGoal    = 6
	worthCall    = 6
	worthRelease = 3
	worthBack    = 3
	worthReady   = 1
	worthHorn    = 2
	worthStage   = 3
	worthPut     = 3
	worthTimeOut = 3
	worthRunning = 4
	worthChoice  = 2
	worthBoard   = 1
	worthBackOut = 6 // a goal that is taken back
	costExtra    = 4
)

// cost is what a fault costs.
func (f Fault) cost() int {
	switch f {
	case GoalMissing, CallMissing, GoalNotBack:
		return worthGoal
	case GoalDouble, GoalExtra, CallDouble, CallExtra, RunningLeft:
		return costExtra
	case GoalSide, CallSide, CallLength, CallDoubled, ReleaseLeft, BackMissing, ClockNotPut, TimeOutLeft, StageMissing, RunningExtra:
		return 3
	case GoalScorer, CallNumber, CallSignal, ReleaseWrong, ReleaseEarly, HornMissing, ChoiceMissing, ChoiceWrong, StopRunning, TimeOutSide, TimeOutExtra:
		return 2
	case GoalAssists, GoalHow, GoalMoment, CallServer, CallName, CallMoment, CallOrder, ReleaseLate, SeatMissing, StopMissing,
		StopLate, StopEarly, StopExtra, StartMissing, StartLate, StartEarly, HornLate, BoardMissing, BoardWrong, CardSteps, DropOnHold, ReadySlow:
		return 1
	case EnteredLate:
		return 0
	}
	return 0
}
