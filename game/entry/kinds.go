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

	// Filed is where the fold keeps it besides what it does to the game at once.
	Filed Filed
	// Order is what it wants of something that has one position at a time.
	Order Order

	// Beside: it changes nothing in the report, so that a seal before it still
	// covers everything.
	Beside bool
	// Stays is why it is neither amended nor struck, the key of a sentence; empty: it
	// may be.
	Stays string
	// Undo is how the button that takes back treats it.
	Undo Undo
	// NoStrike: the entries on the bench's screen have no tap that strikes it.
	NoStrike bool
	// Quiet: it keeps the book in order and says nothing of the game, so people look
	// for it rarely.
	Quiet bool

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

// Filed is where the fold keeps an entry until the game is played out.
type Filed string

// Where the fold keeps an entry.
const (
	NotFiled Filed = ""
	AsPlay   Filed = "play"  // it is played at its moment, in the order of the game
	InBook   Filed = "book"  // the book keeps it
	InCount  Filed = "count" // so it does, of which there may be many
)

// Order is what an entry wants of something that has only one position at a time:
// a clock that runs or stands, a gate, a net. Another device may have changed it
// just now. How long it stands against an opposite one is ours: two people answer
// one whistle within two seconds of each other; nobody drops the puck that soon
// after it. A whistle may follow a face-off at once, so a start gives way sooner.
type Order struct {
	Of     string // what it is about; of each side one, where the entry is about a side
	To     string // what that becomes, where every entry of the kind says the same
	Stands Millis // between the two touches
}

const (
	soon    Millis = 1000
	notSoon Millis = 2500
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
	{Body: GameOpened{}, Undo: UndoNever, Quiet: true, NoStrike: true},
	{Body: RosterSet{}, Filed: InBook, Seats: bookWork, Quiet: true, NoStrike: true},
	{Body: StageBegun{}, Order: Order{Of: "stage", Stands: notSoon}, Seats: clockWork, Fill: Shows, Quiet: true},
	{Body: ClockStarted{}, Order: Order{"clock", "runs", soon}, Seats: clockWork, Fill: Shows, Board: SetsItTime, Undo: UndoPress, Quiet: true, NoStrike: true},
	{Body: ClockStopped{}, Order: Order{"clock", "stands", notSoon}, Seats: clockWork, Fill: Shows, Board: SetsItTime, Undo: UndoPress, Quiet: true},
	{Body: ClockSet{}, Seats: clockWork, Fill: Shows, Board: SetsItTime, Quiet: true},
	{Body: TimeOut{}, Order: Order{"time_out", "taken", soon}, Seats: clockWork, Fill: Touches},
	{Body: Goal{}, Filed: AsPlay, Seats: bookWork, Board: ChangesIt},
	{Body: Penalty{}, Filed: AsPlay, Seats: bookWork, Board: ChangesIt},
	{Body: Choice{}, Seats: []Seat{BoxSeat, BookSeat}, Quiet: true},
	{Body: SetAside{}, Seats: []Seat{ClockSeat, BoxSeat, BookSeat}, Beside: true, Quiet: true},
	{Body: Note{}, Seats: everySeat, OwnOnly: true, Hides: []Hidden{{"text", TextRemark}}, Hangs: true},
	{Body: BoardRead{}, Seats: clockWork, Fill: Shows},
	{Body: BenchSet{}, Beside: true, Quiet: true},
	{Body: RunningTime{}, Order: Order{Of: "running_time", Stands: soon}, Seats: clockWork},
	{Body: Goalkeeper{}, Order: Order{Of: "net", Stands: soon}, Filed: InBook, Seats: shotsWork},
	{Body: Delay{}, Order: Order{"delay", "on", soon}, Seats: clockWork, Fill: Touches},
	{Body: DelayOver{}, Order: Order{"delay", "over", soon}, Seats: clockWork, Fill: Touches, Beside: true},
	{Body: Seated{}, Order: Order{Of: "gate", Stands: soon}, Seats: []Seat{BoxSeat}, OneSide: true, Quiet: true},
	{Body: CardSet{}, Beside: true, Quiet: true},
	{Body: Ticked{}, Seats: []Seat{ClockSeat, BookSeat}, Beside: true, Undo: UndoThere, NoStrike: true}, // whoever works the rink's board

	// What only the book keeps.
	{Body: Shots{}, Filed: InBook, Seats: shotsWork, Counts: true, OneSide: true, Undo: UndoThere},
	{Body: FaceOff{}, Filed: InCount, Seats: shotsWork, Counts: true, Undo: UndoThere},
	{Body: Attempt{}, Filed: InBook, Seats: bookWork},
	{Body: Announced{}, Filed: InBook, Seats: []Seat{VoiceSeat, BookSeat}, Beside: true, Undo: UndoThere},
	{Body: RosterConfirmed{}, Filed: InBook, Seats: bookWork, Hides: []Hidden{{"by", TextOfficial}}},
	{Body: CrewSet{}, Filed: InBook, Seats: bookWork},
	{Body: Signed{}, Filed: InBook, Seats: bookWork, Hides: []Hidden{{"name", TextOfficial}}},
	{Body: Sealed{}, Filed: InBook, ByProgram: true, Beside: true, Stays: "refused.seal_stays", Undo: UndoNever, NoStrike: true},
	{Body: ClockDoubted{}, Fill: Shows, Stays: "refused.doubt_stays", Undo: UndoNever, NoStrike: true},
	{Body: Withdrawn{}, ByProgram: true, Beside: true, Stays: "refused.withdrawal_stays", Undo: UndoNever, NoStrike: true},

	{Body: Amended{}, Seats: everySeat, Fill: Touches, Hangs: true, Quiet: true},
	{Body: Struck{}, Seats: everySeat, Fill: Touches, Hangs: true, Undo: UndoNever, Quiet: true},
}

// Kinds lists every kind, in the order of the rows.
var Kinds = func() []Kind {
	list := make([]Kind, len(rows))
	for i, row := range rows {
		list[i] = row.Body.Kind()
	}
	return list
}()

// rowAt has the rows by a number made of their kind's letters, or behind that. A fold
// asks for one of every entry, and a map takes three times as long to say it.
var rowAt = func() (found [64]*Row) {
	for i := range rows {
		at := rows[i].Body.Kind().place()
		for found[at%len(found)] != nil {
			at++
		}
		found[at%len(found)] = &rows[i]
	}
	return found
}()

func (k Kind) place() int {
	if k == "" {
		return 0
	}
	return len(k) + 3*int(k[0]) + 7*int(k[len(k)-1])
}

// row is the row of a kind; nil: there is none.
func (k Kind) row() *Row {
	for at := k.place(); ; at++ {
		if row := rowAt[at%len(rowAt)]; row == nil || row.Body.Kind() == k {
			return row
		}
	}
}

// About is what there is to know of a kind; of one that is not there, nothing.
func (k Kind) About() *Row {
	if row := k.row(); row != nil {
		return row
	}
	return &Row{}
}

// Filed is where the fold keeps entries of the kind.
func (k Kind) Filed() Filed { return k.About().Filed }

// Edits reports whether entries of the kind are about another entry.
func (k Kind) Edits() bool { return k == KindAmended || k == KindStruck }

// unmarshalBody reads the body of one kind.
func unmarshalBody(kind Kind, raw json.RawMessage) (Body, error) {
	row := kind.row()
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
