package entry

import (
	"encoding/json"
	"reflect"

	"whistlestop/game/message"
)

// Row is what there is to know of a kind of entry, besides what it says (its body
// and what of it is valid) and what follows from it (the fold). Whoever needs to
// know something of every kind asks here; nobody keeps a list of kinds of their
// own.
type Row struct {
	// Body is an empty one. Its type says how the JSON looks.
	Body Body

	// Seats may enter it, beside the bench itself, and change and take back what
	// the rest of the row lets.
	Seats []Seat
	// ByProgram: it is made by the program alone, and no post brings one.
	ByProgram bool
	// OwnOnly: only who entered it and the book may change it.
	OwnOnly bool
	// OneSide: a seat that works for one side may not enter it for the other.
	OneSide bool
	// Counts: two people in one seat would make it twice.
	Counts bool

	// Fill is what the bench's clocks say in it.
	Fill Fill
	// Board is what it does to the rink's own board.
	Board Board

	// Beside: it changes nothing in the report, so that a seal before it still
	// covers everything.
	Beside bool
	// Stays is why it is neither amended nor struck, the key of a sentence; empty: it
	// may be.
	Stays string
	// Undo is how the button that takes back treats it.
	Undo Undo

	// Hides are the arguments of its sentence that are texts about people.
	Hides []Hidden
	// Hangs: what may be seen of it hangs on other entries too.
	Hangs bool
}

// Fill is what the bench's clocks have to do with an entry.
type Fill string

// What the bench's clocks have to do with an entry.
const (
	NoClock Fill = ""
	Touches Fill = "touches" // it moves or sets a clock
	Shows   Fill = "shows"   // it does, and says where play stood
)

// Board is what an entry does to the rink's own board.
type Board string

// What an entry does to the rink's own board.
const (
	NoBoard    Board = ""
	ChangesIt  Board = "changes" // it has a line there
	SetsItTime Board = "time"    // changed later on, the board's time has to be set
)

// Undo is how the button that takes back treats an entry.
type Undo string

// How the button that takes back treats an entry.
const (
	UndoAct   Undo = ""      // as what somebody did
	UndoPress Undo = "press" // for a minute: then play has moved on
	UndoThere Undo = "there" // it is taken back where it was made; quiet, because it is tapped often
	UndoNever Undo = "never" // it is no act of the game, or a later entry takes its place
)

// Hidden is an argument of a sentence that is a text about a person.
type Hidden struct {
	Argument string
	What     Text
}

var (
	clockWork = []Seat{ClockSeat}
	bookWork  = []Seat{BookSeat}
	shotsWork = []Seat{BookSeat, ShotsSeat}
	everySeat = []Seat{ClockSeat, BoxSeat, BookSeat, ShotsSeat, VoiceSeat}
)

// rows has every kind, in the order in which they are listed everywhere.
var rows = []Row{
	{Body: GameOpened{}, Undo: UndoNever},
	{Body: RosterSet{}, Seats: bookWork},
	{Body: StageBegun{}, Seats: clockWork, Fill: Shows},
	{Body: ClockStarted{}, Seats: clockWork, Fill: Shows, Board: SetsItTime, Undo: UndoPress},
	{Body: ClockStopped{}, Seats: clockWork, Fill: Shows, Board: SetsItTime, Undo: UndoPress},
	{Body: ClockSet{}, Seats: clockWork, Fill: Shows, Board: SetsItTime},
	{Body: TimeOut{}, Seats: clockWork, Fill: Touches},
	{Body: Goal{}, Seats: bookWork, Board: ChangesIt},
	{Body: Penalty{}, Seats: bookWork, Board: ChangesIt},
	{Body: Choice{}, Seats: []Seat{BoxSeat, BookSeat}},
	{Body: SetAside{}, Seats: []Seat{ClockSeat, BoxSeat, BookSeat}, Beside: true},
	{Body: Note{}, Seats: everySeat, OwnOnly: true, Hides: []Hidden{{"text", TextRemark}}, Hangs: true},
	{Body: BoardRead{}, Seats: clockWork, Fill: Shows},
	{Body: BenchSet{}, Beside: true},
	{Body: RunningTime{}, Seats: clockWork},
	{Body: Goalkeeper{}, Seats: shotsWork},
	{Body: Delay{}, Seats: clockWork, Fill: Touches},
	{Body: DelayOver{}, Seats: clockWork, Fill: Touches, Beside: true},
	{Body: Seated{}, Seats: []Seat{BoxSeat}, OneSide: true},
	{Body: CardSet{}, Beside: true},
	{Body: Ticked{}, Seats: []Seat{ClockSeat, BookSeat}, Beside: true, Undo: UndoThere}, // whoever works the rink's board

	// What only the book keeps.
	{Body: Shots{}, Seats: shotsWork, Counts: true, OneSide: true, Undo: UndoThere},
	{Body: FaceOff{}, Seats: shotsWork, Counts: true, Undo: UndoThere},
	{Body: Attempt{}, Seats: bookWork},
	{Body: Announced{}, Seats: []Seat{VoiceSeat, BookSeat}, Beside: true, Undo: UndoThere},
	{Body: RosterConfirmed{}, Seats: bookWork, Hides: []Hidden{{"by", TextOfficial}}},
	{Body: CrewSet{}, Seats: bookWork},
	{Body: Signed{}, Seats: bookWork, Hides: []Hidden{{"name", TextOfficial}}},
	{Body: Sealed{}, ByProgram: true, Beside: true, Stays: "refused.seal_stays", Undo: UndoNever},
	{Body: ClockDoubted{}, Fill: Shows, Stays: "refused.doubt_stays", Undo: UndoNever},
	{Body: Withdrawn{}, ByProgram: true, Beside: true, Stays: "refused.withdrawal_stays", Undo: UndoNever},

	{Body: Amended{}, Seats: everySeat, Fill: Touches, Hangs: true},
	{Body: Struck{}, Seats: everySeat, Fill: Touches, Hangs: true, Undo: UndoNever},
}

// Kinds lists every kind, in the order of the rows.
var Kinds = func() []Kind {
	list := make([]Kind, len(rows))
	for i, row := range rows {
		list[i] = row.Body.Kind()
	}
	return list
}()

var rowOf = func() map[Kind]*Row {
	found := make(map[Kind]*Row, len(rows))
	for i := range rows {
		found[rows[i].Body.Kind()] = &rows[i]
	}
	return found
}()

// About is what there is to know of a kind; of one that is not there, nothing.
func (k Kind) About() Row {
	if row := rowOf[k]; row != nil {
		return *row
	}
	return Row{}
}

// Edits reports whether entries of the kind are about another entry.
func (k Kind) Edits() bool { return k == KindAmended || k == KindStruck }

// unmarshalBody reads the body of one kind.
func unmarshalBody(kind Kind, raw json.RawMessage) (Body, error) {
	row := rowOf[kind]
	if row == nil {
		return nil, message.New("chain.kind", "kind", message.Plain(kind))
	}
	if kind == KindAmended {
		return unmarshalAmended(raw)
	}
	into := reflect.New(reflect.TypeOf(row.Body))
	if err := strict(raw, into.Interface()); err != nil {
		return nil, err
	}
	return into.Elem().Interface().(Body), nil
}

func unmarshalAmended(raw json.RawMessage) (Body, error) {
	var a amendedJSON
	if err := strict(raw, &a); err != nil {
		return nil, err
	}
	if a.Kind.Edits() {
		return nil, message.New("chain.amended_kind", "kind", message.Plain(a.Kind))
	}
	to, err := unmarshalBody(a.Kind, a.Body)
	if err != nil {
		return nil, err
	}
	return Amended{To: to}, nil
}
