package evening

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"sync"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/proof/faults"
	"whistlestop/internal/restart"
)

// ending is how a program ends.
type ending int

const (
	inOrder  ending = iota
	killed          // it does nothing more, and the system keeps what it was given
	powerCut        // what was not synced may be gone
)

var endings = [...]string{"in order", "killed", "power cut"}

// laptop is the bench's computer.
type laptop struct {
	v       *evening
	disk    *cupboard
	program Program

	mutex    sync.Mutex
	dead     bool // the program's calls to the files do nothing any more
	deadIn   int  // so many further calls that change files are carried out; 0: all
	full     bool
	unsynced bool

	set      time.Duration // by which the time of day is off
	switched time.Time     // when it was switched on
	boot     int
	ahead    time.Duration // by which the program's time was ahead of the true one
	ended    time.Time     // when the program ended last
	wasOff   bool          // since then
	era      int           // of its time: it counts the starts with which it went another way
	started  bool          // it was once
	idle     time.Duration // for how long it may seem to have been off, in all
}

func newLaptop(v *evening) *laptop {
	l := &laptop{v: v, boot: 1, switched: time.Now().Add(-time.Hour), disk: newCupboard(v.Folder)}
	if err := faults.Install(); err != nil {
		v.fault("the layer under SQLite is not there: %v", err)
	}
	faults.Ask(v.Folder, l.call)
	return l
}

// leave ends the watch over the files.
func (l *laptop) leave() { faults.Ask(l.v.Folder, nil) }

var errMove = errors.New("it did not end")

// call is asked about each call of SQLite to the files.
func (l *laptop) call(c faults.Call) faults.Verdict {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if !c.Changes() {
		return faults.Verdict{}
	}
	if l.deadIn > 0 {
		if l.deadIn--; l.deadIn == 0 {
			l.dead = true
			l.disk.die()
		}
	}
	switch {
	case l.dead:
		return faults.Verdict{Fails: c.Kind.Failure()}
	case l.full && (c.Kind == faults.Write || c.Kind == faults.Open):
		return faults.Verdict{Fails: faults.Full, First: len(c.Bytes) / 3}
	case l.unsynced && c.Kind == faults.Sync:
		return faults.Verdict{Fails: c.Kind.Failure(), Drops: true}
	}
	return faults.Verdict{}
}

func (l *laptop) isDead() bool {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	return l.dead
}

// troubled reports whether the disk refuses what it is given.
func (l *laptop) troubled() bool { return l.full || l.unsynced || l.isDead() }

// dieIn lets the program die at a call to the files.
func (l *laptop) dieIn(calls int) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	l.deadIn = calls
}

// trouble sets what the disk refuses.
func (l *laptop) trouble(full, unsynced bool) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	l.full, l.unsynced = full, unsynced
}

// mend mends the disk, the stick and the program.
func (l *laptop) mend() {
	l.trouble(false, false)
	l.disk.mend()
	if l.program == nil {
		l.v.start()
	}
}

func (l *laptop) clocks() restart.Reading {
	now := time.Now()
	return restart.Reading{
		Wall: entry.Millis(now.Add(l.set).UnixMilli()), Count: entry.Millis(now.Sub(l.switched).Milliseconds()),
		Boot: strconv.Itoa(l.boot),
	}
}

// end ends the program. Of one that is killed nothing counts that it does after.
func (l *laptop) end(how ending) {
	if l.program == nil {
		return
	}
	program := l.program
	l.program, l.ended = nil, time.Now()
	l.v.note("ends", "%s", endings[how])
	if how == inOrder {
		if err := program.Close(); err != nil && !l.troubled() {
			l.v.fault("the program does not end well: %v", err)
		}
		l.v.streamsEnd()
		return
	}
	l.mutex.Lock()
	l.dead, l.deadIn = true, 0
	l.mutex.Unlock()
	l.disk.die()
	small := l.small()
	if how == powerCut {
		faults.Cut(l.v.Folder)
	}
	_ = program.Close() // it tells of the files that it cannot write
	l.v.streamsEnd()
	l.putBack(small)
	l.disk.revive(how == powerCut, l.v.random)
}

// goOn lets the files be written again.
func (l *laptop) goOn() {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	l.dead, l.deadIn = false, 0
}

// small reads the small files beside the database, which are whole at any time.
func (l *laptop) small() map[string][]byte {
	files := map[string][]byte{}
	for _, path := range l.smallPaths() {
		text, err := os.ReadFile(path)
		if err != nil {
			l.v.fault("a file of the folder cannot be read: %v", err)
		}
		files[path] = text
	}
	return files
}

func (l *laptop) smallPaths() (paths []string) {
	for _, form := range []string{"*.json", "*.pem", "*.txt"} {
		found, err := filepath.Glob(filepath.Join(l.v.Folder, form))
		if err != nil {
			l.v.fault("the folder cannot be listed: %v", err)
		}
		paths = append(paths, found...)
	}
	return paths
}

func (l *laptop) putBack(files map[string][]byte) {
	for _, path := range l.smallPaths() {
		if _, was := files[path]; !was {
			_ = os.Remove(path)
		}
	}
	for path, text := range files {
		if err := os.WriteFile(path, text, 0o600); err != nil {
			l.v.fault("a file of the folder cannot be put back: %v", err)
		}
	}
}

// steps are by how much a time of day is set.
var steps = []time.Duration{1500 * time.Millisecond, 5 * time.Second, time.Minute, time.Hour, 30 * 24 * time.Hour, 365 * 24 * time.Hour}

// idleMost is for how long a computer may seem to have been off, and seats are still
// sure to stand.
const idleMost = 5 * time.Hour

// change is what may happen to a computer while its program is dead.
func (l *laptop) change() {
	v := l.v
	if v.chance(30) {
		step := steps[v.random.IntN(len(steps))]
		if v.chance(50) {
			step = -step
		}
		l.set += step
		v.out.Counts["clock set"]++
		v.note("clock set", "by %v", step)
	}
	if v.chance(20) {
		l.boot++
		l.switched, l.wasOff = time.Now(), true
		v.out.Counts["switched off"]++
		v.note("off", "boot %d", l.boot)
		if v.chance(30) {
			l.set = time.Until(time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC))
			v.out.Counts["battery flat"]++
			v.note("flat", "the time of day is of another century")
		}
		// Of a computer that was off only the time of day says how long.
		if l.idle += max(0, l.set-l.ahead); l.idle > idleMost {
			v.seatsMayBeOver()
		}
	}
}

// start starts the program and waits until every game was held against its copies.
func (v *evening) start() {
	l := v.laptop
	l.goOn()
	place := Place{Folder: v.Folder, Stick: stickFolder, Disk: l.disk, Clocks: l.clocks}
	var err error
	if !v.within(func() { l.program, err = v.Start(context.WithoutCancel(v.ctx), place) }) {
		err = errMove
	}
	if err != nil {
		l.program = nil
		v.fault("the program does not start: %v", err)
		return
	}
	v.out.Counts["starts"]++
	var report struct {
		Start []struct{ Key string }
	}
	for range beats {
		time.Sleep(time.Second) // whatever can be done now is done then
		report.Start = nil
		if v.ask(v.here("GET", "/api/copies", nil), &report) != 200 {
			v.fault("nobody says how the copies stand")
			return
		}
		if len(report.Start) == 0 || report.Start[0].Key != "start.comparing" {
			break
		}
	}
	var keys []string // games are held against their copies beside one another
	for _, told := range report.Start {
		keys = append(keys, told.Key)
		v.out.Counts[told.Key]++
	}
	slices.Sort(keys)
	v.note("told", "%v", keys)
	if slices.Contains(keys, "start.comparing") {
		v.fault("the games are never held against their copies")
	}
	v.clocksAfterAStart()
	l.started, l.wasOff = true, false
}

// leastStep is from where on a step of the time of day has to be noticed: what the
// program takes for the difference of two readings, and what whole milliseconds hide.
const leastStep = 2*time.Second + 20*time.Millisecond

// aWhile is how long after its end at most a clock is stopped by the program.
const aWhile = 5 * time.Second

// clocksAfterAStart holds what became of clocks that ran against what happened to
// the computer: where its time went another way, the first entry is the doubt.
func (v *evening) clocksAfterAStart() {
	l := v.laptop
	now, known := v.now()
	if !known {
		return
	}
	before := l.ahead
	l.ahead = time.Until(time.UnixMilli(int64(now)))
	if (l.ahead-before).Abs() > time.Millisecond || l.wasOff {
		l.era++
	}
	if !l.started || (l.ahead-before).Abs() <= leastStep && !l.wasOff {
		return
	}
	for _, g := range v.games {
		s, had := g.adds(), len(g.seen)
		unknown := g.waiting != nil
		// A clock that came to its end while the program ran was stopped in order.
		ran := s.running && s.out().After(l.ended.Add(before+aWhile))
		v.look(g)
		if !ran || unknown || len(g.seen) == 0 {
			continue
		}
		v.out.Counts["clocks that had to be doubted"]++
		if len(g.seen) == had || g.seen[had].kind() != "clock_doubted" {
			v.fault("the program's time went %v another way while the clock of %s ran, and nothing says so", l.ahead-before, g.id)
		}
	}
}

// goDown ends the program in some way, lets the computer change, and starts it.
func (v *evening) goDown(how ending) {
	v.laptop.end(how)
	v.laptop.goOn()
	v.laptop.trouble(false, false)
	time.Sleep(v.between(time.Second, 20*time.Second))
	v.laptop.change()
	lost := how == inOrder && v.loseTheEnd()
	if !lost && v.Seed%3 != 0 && v.chance(40) { // on some evenings nobody does: then copies must bring back what is lost
		v.leaveAFile()
	}
	v.start()
	v.lookAll()
	if v.chance(50) {
		v.follow()
	}
}

// downInAPost lets the program die while it keeps a post.
func (v *evening) downInAPost() {
	v.laptop.dieIn(1 + v.random.IntN(8))
	v.post(v.one())
	how := killed
	if v.chance(60) {
		how = powerCut
	}
	if v.laptop.isDead() {
		v.out.Counts["died in a post"]++
	}
	v.goDown(how)
}

// disk lets the disk of the games be full, fail at syncs, or be well again.
func (v *evening) disk() {
	l := v.laptop
	switch {
	case l.full || l.unsynced:
		l.trouble(false, false)
		v.note("disk", "is well")
	case v.chance(60):
		l.trouble(true, false)
		v.out.Counts["disk full"]++
		v.note("disk", "is full")
	default:
		l.trouble(false, true)
		v.out.Counts["syncs fail"]++
		v.note("disk", "fails at syncs")
	}
}
