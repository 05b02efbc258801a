package crew_test

import (
	"strings"
	"testing"
)

type seatView struct {
	Duty   duty
	Next   []struct{ Person string }
	Swaps  []struct{ Game, Seat, Text string }
	Ladder struct{ Ask, Call, Text []string }
}

func (d *desk) seat(game, seat string) (out seatView) {
	d.t.Helper()
	d.must("GET", "/api/crew/seats/"+game+"/"+seat, nil, &out)
	return out
}

// Two people change places on the page, where every rule holds; both have accepted then.
func TestTwoPeopleChangePlaces(t *testing.T) {
	d := made(t)
	for _, one := range d.rota() {
		if one.Name == "" {
			continue
		}
		view := d.seat(one.Game, one.Seat)
		if len(view.Swaps) == 0 {
			continue
		}
		if len(view.Ladder.Text) != 0 {
			t.Error("a seat that somebody has asks for a replacement")
		}
		other := view.Swaps[0]
		theirs := d.seat(other.Game, other.Seat).Duty
		if !strings.Contains(other.Text, theirs.Name) {
			t.Errorf("%q does not name %s", other.Text, theirs.Name)
		}
		var now duty
		d.must("POST", "/api/crew/seats/"+one.Game+"/"+one.Seat, map[string]string{"act": "swap", "with_game": other.Game, "with_seat": other.Seat}, &now)
		back := d.seat(other.Game, other.Seat).Duty
		if now.Name != theirs.Name || back.Name != one.Name || now.Status != "yes" || back.Status != "yes" {
			t.Errorf("%+v, %+v", now, back)
		}
		if err := d.ask("POST", "/api/crew/seats/"+one.Game+"/"+one.Seat, map[string]string{"act": "swap", "with_game": one.Game, "with_seat": one.Seat}, nil); err == nil {
			t.Error("somebody changes places with themselves")
		}
		if err := d.ask("POST", "/api/crew/seats/"+one.Game+"/"+one.Seat, map[string]string{"act": "swap", "with_game": "none", "with_seat": "clock"}, nil); err == nil {
			t.Error("somebody changes places with nobody")
		}
		return
	}
	t.Fatal("nobody can change places")
}

// The ladder of an empty seat asks the best three, and once they are asked waits.
func TestTheLadderAtTheDesk(t *testing.T) {
	d := made(t)
	one, _ := d.replaceable()
	d.must("POST", "/api/crew/seats/"+one.Game+"/"+one.Seat, map[string]string{"act": "clear"}, nil)
	view := d.seat(one.Game, one.Seat)
	if len(view.Ladder.Ask) == 0 || len(view.Ladder.Ask) > 3 || view.Ladder.Ask[0] != view.Next[0].Person || len(view.Ladder.Text) == 0 {
		t.Fatalf("%+v", view.Ladder)
	}
	d.must("POST", "/api/crew/seats/"+one.Game+"/"+one.Seat+"/ask", map[string]any{"people": view.Ladder.Ask}, nil)
	if after := d.seat(one.Game, one.Seat).Ladder; len(after.Ask) != 0 || len(after.Text) == 0 {
		t.Errorf("asked again at once: %+v", after)
	}
}

// Pots and duties that were left too late are in the balance.
func TestTheBalanceHasPotsAndWhoLeftLate(t *testing.T) {
	d := made(t)
	text := string(read(t, crewOfTests)) + "\n[[pot]]\nname = \"before December\"\namount = 2\nby = 2026-11-30\n"
	text = strings.Replace(text, "[target]\n", "[target]\nlate_hours = 720\n", 1)
	d.must("PUT", "/api/crew/rules/file", map[string]string{"text": text}, nil)
	var one duty
	for _, at := range d.rota() {
		if at.Name != "" {
			one = at
		}
	}
	d.must("GET", "/api/crew/messages", nil, nil)
	d.must("POST", "/api/crew/messages", map[string]any{"people": []string{one.Person}, "act": "sent"}, nil)
	var page page
	d.now = d.now.AddDate(0, 1, 10)
	token := d.link(one.Person)
	if err := d.by(stranger(), "POST", "/api/crew/mine/"+token, map[string]string{"do": "no", "game": one.Game, "seat": one.Seat}, &page); err != nil {
		t.Fatal(said(err))
	}
	var out struct {
		Families []struct {
			Missed int
			Late   int `json:"left_late"`
			Pots   []struct {
				Name    string
				Amount  int
				Missing int
			}
		}
	}
	d.must("GET", "/api/crew/balance", nil, &out)
	late := 0
	for _, f := range out.Families {
		late += f.Late
		if len(f.Pots) != 1 || f.Pots[0].Name != "before December" || f.Pots[0].Amount < 2 || f.Pots[0].Missing != f.Pots[0].Amount {
			t.Errorf("%+v", f)
		}
	}
	if late != 1 {
		t.Errorf("%d left late: %+v", late, out.Families)
	}
}
