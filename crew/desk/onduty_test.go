package desk_test

import (
	"slices"
	"testing"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/onduty"
	"whistlestop/crew/seating"
)

// Who is on duty goes to the bench with short names, and what the bench gives back is
// read as it is.
func TestWhoIsOnDuty(t *testing.T) {
	d := open(t, known)
	file := d.OnDuty(0, desk.Always)
	if len(file.Games) != 1 || len(file.Games[0].Seats) != 2 || file.Games[0].Seats[0].Name != "Maren H" || file.Games[0].Seats[0].There != 585 {
		t.Fatalf("%+v", file)
	}
	if none := d.OnDuty(file.Games[0].Day+1, desk.Always); len(none.Games) != 0 {
		t.Errorf("%+v", none)
	}
	noted := onduty.Noted{}.With("u14-001", file.Games[0].Seats[0], duties.Missed)
	if replies := d.Take(noted.Codes("")); len(replies) != 1 || replies[0].Result != duties.Done {
		t.Fatalf("%+v", replies)
	}
	if b := d.Balances()[0]; b.Missed != 1 {
		t.Errorf("%+v", b)
	}
	if again := d.OnDuty(0, desk.Always); again.Games[0].Seats[0].Mark != duties.Missed {
		t.Errorf("%+v", again)
	}
}

// Two answers in one paste: the second is held against the rota as the first left it.
// Whoever takes two seats of one game at once gets only one of them.
func TestTwoAnswersInOnePaste(t *testing.T) {
	d := open(t, []seating.Duty{})
	ida := duties.Who{Name: "Ida Vik", Family: "Vik"}
	var text string
	for i := range d.Duties {
		d.Sent(d.Instead(i, []desk.Choice{{Person: 1}}))
		asked := d.Duties[i]
		asked.Who = ida
		text += d.Log.Code(asked, duties.SayYes) + "\n"
	}
	var results []duties.Result
	for _, r := range d.Take(text) {
		results = append(results, r.Result)
	}
	if !slices.Equal(results, []duties.Result{duties.Done, duties.Barred}) || d.Duties[0].Who != ida || d.Duties[1].Name != "" {
		t.Errorf("%v %+v", results, d.Duties)
	}
}
