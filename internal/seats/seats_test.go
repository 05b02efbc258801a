package seats_test

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/seats"
)

const (
	game  = "01JD0000000000000000000000"
	other = "01JD0000000000000000000001"
)

// desk is a register with a clock that a test moves, and what it saved.
type desk struct {
	*seats.Register
	now   entry.Millis
	saved []byte
	fails error

	handed  []byte
	formers []byte
}

func newDesk() *desk {
	d := &desk{now: 1_764_000_000_000}
	d.Register = seats.New(seats.Config{
		Now: func() entry.Millis { return d.now }, Random: rand.Reader,
		Keep: func(raw []byte) error {
			if d.fails == nil {
				d.saved = raw
			}
			return d.fails
		},
		KeepHanded: func(raw []byte) error {
			if d.fails == nil {
				d.handed = raw
			}
			return d.fails
		},
		KeepFormers: func(raw []byte) error {
			if d.fails == nil {
				d.formers = raw
			}
			return d.fails
		},
	})
	return d
}

func (d *desk) offer(t testing.TB, role seats.Role) seats.Offer {
	t.Helper()
	offer, err := d.Invite(game, role)
	if err != nil {
		t.Fatal(err)
	}
	return offer
}

// pair makes a device a seat.
func (d *desk) pair(t testing.TB, role seats.Role) seats.Paired {
	t.Helper()
	asked, err := d.JoinByToken(d.offer(t, role).Token, "a phone", "192.168.7.31")
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Approve(game, asked.ID, seats.Role{}); err != nil {
		t.Fatal(err)
	}
	paired, err := d.Poll(t.Context(), asked.ID, asked.Secret)
	if err != nil {
		t.Fatal(err)
	}
	return paired
}

// look polls without waiting.
func (d *desk) look(id, secret string) (seats.Paired, error) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	return d.Poll(ctx, id, secret)
}

var box = seats.Role{Seat: entry.BoxSeat, Side: entry.Home}

func is(t testing.TB, what string, err, want error) {
	t.Helper()
	if !errors.Is(err, want) {
		t.Errorf("%s: %v, want %v", what, err, want)
	}
}

// P1: a code that was used, is over, was taken back, or belongs to another
// request opens nothing.
func TestP1_ACodeCountsOnceForTenMinutesAndItsOwnRequest(t *testing.T) {
	d := newDesk()
	first, second := d.offer(t, box), d.offer(t, seats.Role{Seat: entry.ClockSeat})
	asked, err := d.JoinByCode(" "+strings.ToLower(first.Code), "a", "x")
	if err != nil || asked.Role != box || asked.Game != game {
		t.Fatalf("%+v, %v", asked, err)
	}
	for what, typed := range map[string]string{
		"used": first.Code, "of nobody": "BCDF-GHJK", "too short": "BCDF", "no letters": "AEIO-UAEI", "empty": "", "a token": second.Token,
	} {
		_, err := d.JoinByCode(typed, "b", "x")
		is(t, what, err, seats.ErrNoCode)
	}
	for what, token := range map[string]string{"used": first.Token, "a code": second.Code, "empty": "", "its hash": fmt.Sprintf("%x", second.Token)} {
		_, err := d.JoinByToken(token, "b", "x")
		is(t, "token: "+what, err, seats.ErrNoCode)
	}
	// The secret of one request does not hear the answer of another.
	swapped, err := d.JoinByCode(second.Code, "b", "y")
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Approve(game, asked.ID, seats.Role{}); err != nil {
		t.Fatal(err)
	}
	_, err = d.look(asked.ID, swapped.Secret)
	is(t, "another request's secret", err, seats.ErrExpired)
	_, err = d.look(swapped.ID, swapped.Secret)
	is(t, "not decided", err, seats.ErrWaiting)
	is(t, "approved as a request of another game", d.Approve(other, swapped.ID, seats.Role{}), seats.ErrMissing)

	late, taken := d.offer(t, box), d.offer(t, box)
	if err := d.Withdraw(game, taken.ID); err != nil {
		t.Fatal(err)
	}
	is(t, "taken back twice", d.Withdraw(game, taken.ID), seats.ErrMissing)
	_, err = d.JoinByCode(taken.Code, "c", "x")
	is(t, "taken back", err, seats.ErrNoCode)
	d.now += 10 * 60_000
	_, err = d.JoinByCode(late.Code, "c", "x")
	is(t, "over", err, seats.ErrNoCode)
	_, err = d.JoinByToken(late.Token, "c", "x")
	is(t, "token over", err, seats.ErrNoCode)
	_, err = d.look(asked.ID, asked.Secret)
	is(t, "fetched too late", err, seats.ErrExpired)
}

// P2 and P3: guessing burns codes after ten misses and makes typing wait after a
// hundred; links, seats and the bench go on.
func TestP2_P3_GuessingEndsAndHurtsNobodyElse(t *testing.T) {
	d := newDesk()
	seat := d.pair(t, box)
	offer := d.offer(t, box)
	guess := func(i int) error {
		_, err := d.JoinByCode(wrong(i), "g", fmt.Sprintf("192.168.7.%d", i%50))
		return err
	}
	for i := range 9 {
		is(t, "a guess", guess(i), seats.ErrNoCode)
	}
	if d.List(game).Invites[0].Burnt {
		t.Error("burnt after nine misses")
	}
	is(t, "the tenth", guess(9), seats.ErrNoCode)
	if !d.List(game).Invites[0].Burnt {
		t.Error("not burnt after ten misses")
	}
	_, err := d.JoinByCode(offer.Code, "anna", "x")
	is(t, "the burnt code", err, seats.ErrNoCode) // the eleventh miss
	for i := 11; i < 99; i++ {
		is(t, "a guess", guess(i), seats.ErrNoCode)
	}
	fresh := d.offer(t, seats.Role{Seat: entry.VoiceSeat}) // with one miss left until everybody waits
	waits := []entry.Millis{30_000, 60_000, 120_000, 240_000, 480_000, 960_000, 1_920_000, 3600_000, 3600_000}
	for i, want := range waits {
		is(t, "a guess", guess(100+i), seats.ErrNoCode)
		var wait *seats.WaitError
		if !errors.As(guess(200), &wait) || wait.Left != want {
			t.Errorf("after %d misses: wait %+v, want %d ms", 100+i, wait, want)
		}
		if i == 0 {
			if _, err := d.JoinByCode(fresh.Code, "anna", "x"); !errors.As(err, &wait) {
				t.Errorf("the right code while everybody waits: %v", err)
			}
			// A link is no guess, and a seat is a seat.
			if _, err := d.JoinByToken(offer.Token, "anna", "x"); err != nil {
				t.Errorf("the link of a burnt code: %v", err)
			}
			if _, _, known := d.Session(seat.Token); !known {
				t.Error("the seat was locked out")
			}
		}
		d.now += want
	}
	// A code that is right ends the row of misses.
	if _, err := d.JoinByCode(d.offer(t, box).Code, "anna", "x"); err != nil {
		t.Errorf("after the last wait: %v", err)
	}
	is(t, "the first miss of a new row", guess(1), seats.ErrNoCode)
	is(t, "the second", guess(2), seats.ErrNoCode)
}

// wrong is a code that can be typed and that nobody has.
func wrong(i int) string {
	const letters = "BCDFGHJKLMNPQRSTVWXZ"
	code := []byte("ZZZZZZZZ")
	for at := range 3 {
		code[at] = letters[i%20]
		i /= 20
	}
	return string(code)
}

// P4: a device hears nothing but "wait" until a person decides, and may not ask
// faster than every five seconds for long.
func TestP4_APersonDecides(t *testing.T) {
	d := newDesk()
	asked, err := d.JoinByCode(d.offer(t, box).Code, strings.Repeat("ä", 60)+"\x07", "x")
	if err != nil || asked.Device != strings.Repeat("ä", 40) {
		t.Fatalf("%+v, %v", asked, err)
	}
	for range 4 {
		_, err := d.look(asked.ID, asked.Secret)
		is(t, "not decided", err, seats.ErrWaiting)
	}
	_, err = d.look(asked.ID, asked.Secret)
	is(t, "too soon", err, seats.ErrTooSoon)
	d.now += 5000
	_, err = d.look(asked.ID, asked.Secret)
	is(t, "after five seconds", err, seats.ErrWaiting)
	d.now += 5000
	if err := d.Refuse(game, asked.ID); err != nil {
		t.Fatal(err)
	}
	_, err = d.look(asked.ID, asked.Secret)
	is(t, "refused", err, seats.ErrRefused)
	is(t, "approved after that", d.Approve(game, asked.ID, seats.Role{}), seats.ErrMissing)
	for _, role := range []seats.Role{
		{Seat: entry.Solo}, {Seat: entry.Program}, {Seat: ""}, {Seat: "boss"}, {Seat: entry.ClockSeat, Side: entry.Home}, {Seat: entry.BoxSeat, Side: "east"},
	} {
		_, err := d.Invite(game, role)
		is(t, fmt.Sprint(role), err, seats.ErrRole)
	}
}

// P4: the answer comes at once when it is given, and only the newest poll waits.
func TestP4_PollsWaitForTheDecision(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newDesk()
		asked, err := d.JoinByCode(d.offer(t, box).Code, "a", "x")
		if err != nil {
			t.Fatal(err)
		}
		type answer struct {
			paired seats.Paired
			err    error
		}
		first, second := make(chan answer, 1), make(chan answer, 1)
		poll := func(into chan<- answer) {
			ctx, cancel := context.WithTimeout(context.Background(), 25*time.Second)
			defer cancel()
			paired, err := d.Poll(ctx, asked.ID, asked.Secret)
			into <- answer{paired, err}
		}
		go poll(first)
		synctest.Wait()
		go poll(second)
		synctest.Wait()
		is(t, "the older poll", (<-first).err, seats.ErrWaiting)
		if err := d.Approve(game, asked.ID, seats.Role{Seat: entry.BookSeat}); err != nil {
			t.Fatal(err)
		}
		synctest.Wait()
		got := <-second
		if got.err != nil || got.paired.Seat != entry.BookSeat || got.paired.Side != "" {
			t.Errorf("%+v", got)
		}
	})
}

// P5: a seat's token is new, long, known to nobody else, and worth nothing once
// the seat was taken away.
func TestP5_ATokenIsNewAndCanBeTakenAway(t *testing.T) {
	d := newDesk()
	asked, err := d.JoinByToken(d.offer(t, box).Token, "a", "x")
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Approve(game, asked.ID, seats.Role{}); err != nil {
		t.Fatal(err)
	}
	lost, err := d.look(asked.ID, asked.Secret) // the answer got lost
	if err != nil {
		t.Fatal(err)
	}
	paired, err := d.look(asked.ID, asked.Secret)
	if err != nil || paired.Token == lost.Token || len(paired.Token) < 43 || paired.ID != lost.ID {
		t.Fatalf("%+v, %v", paired, err)
	}
	if _, _, known := d.Session(lost.Token); known {
		t.Error("two tokens open one seat")
	}
	session, info, known := d.Session(paired.Token)
	if !known || info.Role != box || info.Device != "a" {
		t.Fatalf("%+v", info)
	}
	_, err = d.look(asked.ID, asked.Secret)
	is(t, "fetched again after it was used", err, seats.ErrExpired)
	for _, token := range []string{"", "x", asked.Secret, paired.ID, strings.ToUpper(paired.Token)} {
		if _, _, known := d.Session(token); known {
			t.Errorf("%q opens a seat", token)
		}
	}
	if strings.Contains(string(d.saved), paired.Token) || !strings.Contains(string(d.saved), paired.ID) {
		t.Errorf("saved: %s", d.saved)
	}
	is(t, "taken away in another game", d.Revoke(other, paired.ID), seats.ErrMissing)
	if err := d.Revoke(game, paired.ID); err != nil {
		t.Fatal(err)
	}
	select {
	case <-session.Ended():
	default:
		t.Error("the session was not told")
	}
	if _, _, known := d.Session(paired.Token); known || strings.Contains(string(d.saved), paired.ID) {
		t.Error("it goes on")
	}
	is(t, "taken away twice", d.Revoke(game, paired.ID), seats.ErrMissing)
	d.fails = errors.New("the disk is full")
	again := d.offer(t, box)
	asked, err = d.JoinByToken(again.Token, "b", "x")
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Approve(game, asked.ID, seats.Role{}); err != nil {
		t.Fatal(err)
	}
	paired, err = d.look(asked.ID, asked.Secret)
	is(t, "a full disk", err, seats.ErrNotKept)
	if _, _, known := d.Session(paired.Token); !known {
		t.Error("a full disk keeps a seat out")
	}
}

// T5: the register's time is its own. A seat that says it was taken in the future
// lasts from now, and what people are shown is in the time of the bench.
func TestT5_SessionsHaveATimeOfTheirOwn(t *testing.T) {
	d := newDesk()
	paired := d.pair(t, box)
	now := d.now - 3600_000 // as if the time had gone back
	const shown = 365 * 24 * 3600_000
	next := seats.New(seats.Config{Now: func() entry.Millis { return now }, Shown: shown, Random: rand.Reader})
	if err := next.Restore(d.saved); err != nil {
		t.Fatal(err)
	}
	if list := next.List(game).Sessions; len(list) != 1 || list[0].Since != now+shown {
		t.Errorf("%+v, want since %d", list, now+shown)
	}
	offer, err := next.Invite(game, box)
	if invites := next.List(game).Invites; err != nil || len(invites) != 1 || invites[0].Expires != offer.Expires || offer.Expires != now+shown+600_000 {
		t.Errorf("%+v, %+v, %v", offer, invites, err)
	}
	for end := now + 24*3600_000 - 1; now < end; now = min(end, now+3600_000) { // it is heard of every hour
		if _, _, known := next.Session(paired.Token); !known {
			t.Fatal("the seat was thrown out before its day was over")
		}
	}
	now++
	if _, _, known := next.Session(paired.Token); known {
		t.Error("a seat from the future lasts for ever")
	}
}

func TestSeatsSurviveARestart(t *testing.T) {
	d := newDesk()
	paired := d.pair(t, box)
	next := newDesk()
	next.now = d.now + 60_000
	if err := next.Restore(d.saved); err != nil {
		t.Fatal(err)
	}
	if _, info, known := next.Session(paired.Token); !known || info.Role != box || info.ID != paired.ID || info.Since != paired.Since {
		t.Errorf("%+v", info)
	}
	next.now = paired.Since + 24*3600*1000
	if _, _, known := next.Session(paired.Token); known {
		t.Error("a seat outlived its day")
	}
	for what, saved := range map[string]string{
		"nothing": "", "half": string(d.saved[:len(d.saved)/2]), "a short token": strings.Replace(string(d.saved), `": "`, `": "AAAA`, 1),
		"another seat": strings.Replace(string(d.saved), `"box"`, `"solo"`, 1),
		"too many":     "[" + strings.Repeat(strings.Trim(string(d.saved), "[]\n ")+",", 48) + strings.Trim(string(d.saved), "[]\n ") + "]",
	} {
		fresh := newDesk()
		if err := fresh.Restore([]byte(saved)); err == nil || len(fresh.List(game).Sessions) > 0 {
			t.Errorf("%s was taken over: %v", what, err)
		}
	}
}

func TestThereAreBounds(t *testing.T) {
	d := newDesk()
	for range 100 {
		d.offer(t, box)
	}
	if got := len(d.List(game).Invites); got != 24 {
		t.Errorf("%d invites", got)
	}
	full := 0
	for range 40 {
		if _, err := d.JoinByToken(d.offer(t, box).Token, "a", "x"); errors.Is(err, seats.ErrFull) {
			full++
		}
	}
	list := d.List(game)
	if len(list.Requests) != 16 || full != 24 {
		t.Errorf("%d requests wait, %d were turned away", len(list.Requests), full)
	}
	checks := map[string]bool{}
	for _, q := range list.Requests {
		checks[q.Check] = true
	}
	if len(checks) != 16 {
		t.Errorf("two requests show the same digits: %v", checks)
	}
	d = newDesk()
	for range 16 {
		seat := d.pair(t, box)
		d.Session(seat.Token)
	}
	asked, err := d.JoinByToken(d.offer(t, box).Token, "a", "x")
	if err != nil {
		t.Fatal(err)
	}
	is(t, "one seat too many", d.Approve(game, asked.ID, seats.Role{}), seats.ErrFull)
}

func TestTheBenchIsTold(t *testing.T) {
	d := newDesk()
	mine, theirs := d.Watch(game), d.Watch(other)
	defer theirs.Close()
	told := func(w *seats.Watch) bool {
		select {
		case <-w.Changed():
			return true
		default:
			return false
		}
	}
	offer := d.offer(t, box)
	d.offer(t, box)
	if !told(mine) || told(mine) || told(theirs) {
		t.Error("two invites are not one change of one game")
	}
	asked, err := d.JoinByToken(offer.Token, "a", "x")
	if err != nil || !told(mine) {
		t.Error("a request", err)
	}
	if err := d.Approve(game, asked.ID, seats.Role{}); err != nil || !told(mine) {
		t.Error("a decision", err)
	}
	paired, err := d.look(asked.ID, asked.Secret)
	if err != nil || !told(mine) {
		t.Error("a pairing", err)
	}
	session, _, _ := d.Session(paired.Token)
	if !told(mine) {
		t.Error("the first use")
	}
	closed := d.Streaming(session)
	if !told(mine) || d.List(game).Sessions[0].Open != 1 {
		t.Error("a stream")
	}
	closed()
	if !told(mine) || d.List(game).Sessions[0].Open != 0 {
		t.Error("the end of a stream")
	}
	mine.Close()
	d.offer(t, box)
	if told(mine) {
		t.Error("told after it left")
	}
}
