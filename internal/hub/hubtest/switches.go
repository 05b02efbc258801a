package hubtest

import (
	"testing"

	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
)

func testSwitches(t *testing.T, s Store) {
	on := func(association string, want ...office.Switch) {
		t.Helper()
		got, err := s.Switches(t.Context(), association)
		if err != nil || len(got) != len(want) {
			t.Fatalf("%v, %v, want %v", got, err, want)
		}
		for _, one := range want {
			if !got[one] {
				t.Errorf("%s is off: %v", one, got)
			}
		}
	}
	turn := func(what office.Switch, to bool) {
		t.Helper()
		if err := s.Turn(t.Context(), Ours, what, to, note("turned_on")); err != nil {
			t.Fatal(err)
		}
	}
	on(Ours)
	turn(office.TablesForAll, true)
	turn(office.TablesForAll, true) // once more changes nothing
	turn(office.PlacesBefore, true)
	turn(office.Initials, false) // it was off
	on(Ours, office.TablesForAll, office.PlacesBefore)
	turn(office.TablesForAll, false)
	on(Ours, office.PlacesBefore)
	on(Theirs)
	if err := s.Turn(t.Context(), Theirs, office.PlacesBefore, false, note("turned_off")); err != nil {
		t.Fatal(err)
	}
	on(Ours, office.PlacesBefore)
	log, err := s.Log(t.Context(), Ours, 0, 100)
	if err != nil || len(log) != 1+5 {
		t.Errorf("%d lines of the log, %v", len(log), err)
	}
}

func testStamp(t *testing.T, s Store) {
	stamp := func() string {
		t.Helper()
		got, err := s.Stamp(t.Context(), Ours)
		if err != nil || got == "" {
			t.Fatal(got, err)
		}
		return got
	}
	seen := map[string]string{stamp(): "nothing"}
	another := func(what string) {
		t.Helper()
		now := stamp()
		if before := seen[now]; before != "" {
			t.Errorf("after %s it is as after %s: %s", what, before, now)
		}
		seen[now] = what
	}
	done := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	all := Chain("a", nil, 3)
	send(t, s, all[:2])
	another("two lines")
	forks(t, s, Chain("b", all[:1], 1), 2, 2)
	another("a fork")
	forks(t, s, Chain("b", all[:1], 2)[1:], 2, 3)
	another("a branch that goes on")
	_, err := s.Choose(t.Context(), At, 1, note("chose"))
	done(err)
	another("a choice")
	_, err = s.Choose(t.Context(), At, branches(t, s, 1)[0].Number, note("chose"))
	done(err)
	another("another choice")
	_, err = s.Raise(t.Context(), At, note("raised"))
	done(err)
	another("a hand-over")
	done(s.Reopen(t.Context(), At, 1, note("reopened")))
	another("a report that was reopened")
	done(s.Turn(t.Context(), Ours, office.TablesForAll, true, note("turned_on")))
	another("a switch")
	done(s.KeepNames(t.Context(), At, []ledgers.Name{{Commitment: "#a", Naming: "name", Text: "Robin Ashdown", Older: true}}))
	another("a name")
	done(s.ForgetNames(t.Context(), At, []string{"#a"}))
	another("a name that was taken out")
	done(s.KeepNames(t.Context(), At, []ledgers.Name{{Commitment: "#a", Naming: "name", Text: "Robin Ashdown", Older: true}}))
	another("a name again")
	_, err = s.ForgetOlder(t.Context(), Ours)
	done(err)
	another("names of older lines that went")

	before := stamp()
	_, err = s.Append(t.Context(), ledgers.Where{Association: Theirs, Game: Game}, 1, Chain("c", nil, 2), 7)
	done(err)
	done(s.Turn(t.Context(), Theirs, office.TablesForAll, true, note("turned_on")))
	if now := stamp(); now != before {
		t.Errorf("what others did changes ours: %s, %s", before, now)
	}
}
