package mirror

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"path/filepath"
	"slices"
	"strconv"
	"sync"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
	"whistlestop/internal/folder/durable"
)

// State says how a copy stands.
type State string

// How a copy can stand.
const (
	UpToDate State = "up_to_date"
	Behind   State = "behind"  // it is being written
	Missing  State = "missing" // the folder is not there: the stick was pulled out
	Failing  State = "failing" // the folder is there and cannot be written
	Differs  State = "differs" // it holds something else of a game than the bench
)

// Copy is how one folder stands.
type Copy struct {
	Folder string       `json:"folder"`
	State  State        `json:"state"`
	Behind int          `json:"behind"`   // entries that are not there yet, as far as it is known
	Since  entry.Millis `json:"since_ms"` // when it came to stand so, milliseconds of Unix time
	Say    rules.Say    `json:"say"`      // what to do
}

// gatherFor is how long entries are gathered before they are copied.
const gatherFor = 100 * time.Millisecond

// known is a copy's file as it was last written or checked.
type known struct {
	count  int   // entries
	size   int64 // bytes
	writer *entry.Lines
}

// folder copies to one folder. Its goroutine alone touches the disk.
type folder struct {
	path   string
	log    Log
	disk   durable.Disk
	logger *slog.Logger
	now    func() entry.Millis
	wake   chan struct{}

	files    map[string]known // of the goroutine
	fades    fades            // of the goroutine
	differs  map[string]rules.Say
	own      *Marks // nil: copies carry no marks
	marks    map[string][]mark
	doubtful map[string]bool // games whose file failed: what is read back may never reach the disk
	pause    int             // of the goroutine: how long it waited last, in turns
	rests    int             // of the goroutine: turns that are left out
	external bool            // it was once seen on another file system than the folder above it

	mutex   sync.Mutex
	waiting map[string][]entry.Entry // by game; nil: load the ledger
	scrubs  []Scrub                  // what the folder is to be gone through for
	shown   Copy
}

func newFolder(path string, log Log, disk durable.Disk, logger *slog.Logger, now func() entry.Millis, own *Marks) *folder {
	return &folder{
		path: path, log: log, disk: disk, logger: logger, now: now, wake: make(chan struct{}, 1),
		fades: fades{}, own: own, marks: map[string][]mark{}, files: map[string]known{}, differs: map[string]rules.Say{}, doubtful: map[string]bool{}, waiting: map[string][]entry.Entry{},
		shown: Copy{Folder: path, State: Behind, Since: now(), Say: rules.Say{Key: "copy.behind", Args: rules.Pairs("folder", path, "count", "0")}},
	}
}

// due notes entries that are to be copied.
func (f *folder) due(game string, entries []entry.Entry) {
	f.mutex.Lock()
	waiting, there := f.waiting[game]
	switch {
	case entries == nil || there && waiting == nil:
		f.waiting[game] = nil
	default:
		f.waiting[game] = slices.Concat(waiting, entries)
	}
	f.shown.Behind += len(entries)
	if f.shown.State == UpToDate || f.shown.State == Behind {
		f.show(Behind, nil)
	}
	f.mutex.Unlock()
	f.poke()
}

func (f *folder) poke() {
	select {
	case f.wake <- struct{}{}:
	default:
	}
}

func (f *folder) state() Copy {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	return f.shown
}

// run copies until stop is closed, and once more then.
func (f *folder) run(stop <-chan struct{}) {
	again := time.NewTicker(tryEvery)
	defer again.Stop()
	f.all()
	for {
		f.work()
		if !f.next(again.C, stop) {
			f.work()
			return
		}
	}
}

// next waits until there is something to do; false: the program ends.
func (f *folder) next(again <-chan time.Time, stop <-chan struct{}) bool {
	for {
		select {
		case <-f.wake:
			gather(stop) // one sync for what is posted together
			return true
		case <-again:
			f.fade()
			if f.rests > 0 && f.present() == nil {
				f.rests--
				continue
			}
			if f.state().State != UpToDate && len(f.files) == 0 {
				f.all()
			}
			return true
		case <-stop:
			return false
		}
	}
}

// restsMost is how many turns at most are left out before what failed is tried again.
const restsMost = 7

// rest lets a folder that cannot be written, or says something else, wait longer with
// each time that it was tried in vain: to try is to read every ledger again.
func (f *folder) rest(before int) {
	f.pause = min(2*before+1, restsMost)
	f.rests = f.pause - 1
}

// gather waits a moment, so that the copy's sync does not stand in the way of the
// next post's.
func gather(stop <-chan struct{}) {
	select {
	case <-time.After(gatherFor):
	case <-stop:
	}
}

// all makes every game one to be checked.
func (f *folder) all() {
	games, err := f.log.Games(context.Background())
	if err != nil {
		f.logger.Error("list the games to copy", "folder", f.path, "error", err)
		return
	}
	f.mutex.Lock()
	defer f.mutex.Unlock()
	for _, game := range games {
		f.waiting[game] = nil
	}
}

// work copies what waits.
func (f *folder) work() {
	err := f.present()
	if err == nil {
		err = f.scrub()
	}
	waiting := f.take()
	for _, game := range slices.Sorted(mapKeys(waiting)) { // which ones a failing disk leaves out is not left to chance
		if err == nil {
			err = f.copy(game, waiting[game])
		}
		if err != nil {
			delete(f.files, game)
			f.doubtful[game] = true
			f.giveBack(game)
		}
	}
	f.mutex.Lock()
	defer f.mutex.Unlock()
	before := f.pause
	f.pause, f.rests = 0, 0
	switch {
	case errors.Is(err, fs.ErrNotExist):
		f.show(Missing, err)
	case err != nil:
		f.rest(before)
		f.show(Failing, err)
	case len(f.differs) > 0:
		f.rest(before)
		f.show(Differs, nil)
	case len(f.waiting)+len(f.scrubs) > 0:
		f.show(Behind, nil)
		f.poke()
	default:
		f.show(UpToDate, nil)
		f.shown.Behind = 0
	}
}

// present reports whether the folder is there. A folder that was on a stick and
// is now on the file system above it is the empty place where the stick was.
func (f *folder) present() error {
	here, err := f.disk.Device(f.path)
	if err != nil {
		clear(f.files) // whatever comes back is looked at from the start
		return err
	}
	above, err := f.disk.Device(filepath.Dir(f.path))
	if err != nil {
		return err
	}
	if here != above {
		f.external = true
	} else if f.external {
		clear(f.files)
		return fmt.Errorf("the stick was pulled out: %w", fs.ErrNotExist)
	}
	return nil
}

func (f *folder) take() map[string][]entry.Entry {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	all := f.waiting
	f.waiting = map[string][]entry.Entry{}
	return all
}

func (f *folder) giveBack(game string) {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	f.waiting[game] = nil
}

// show says how the folder stands. The caller holds the mutex.
func (f *folder) show(state State, cause error) {
	if cause != nil && state != f.shown.State {
		f.logger.Warn("a copy cannot be written", "folder", f.path, "error", cause)
	}
	if state != f.shown.State {
		f.shown.Since = f.now()
	}
	pairs := []string{"folder", f.path}
	f.shown.State = state
	switch state {
	case UpToDate:
		f.shown.Say = rules.Say{Key: "copy.up_to_date", Args: rules.Pairs(pairs...)}
	case Behind:
		f.shown.Say = rules.Say{Key: "copy.behind", Args: rules.Pairs(append(pairs, "count", strconv.Itoa(f.shown.Behind))...)}
	case Missing:
		f.shown.Say = rules.Say{Key: "copy.missing", Args: rules.Pairs(pairs...)}
	case Failing:
		f.shown.Say = rules.Say{Key: "copy.failing", Args: rules.Pairs(append(pairs, "why", message.Inside(plain(cause)))...)}
	case Differs:
		for _, game := range slices.Sorted(mapKeys(f.differs)) {
			f.shown.Say = f.differs[game]
		}
	}
}

// plain is the cause without the path, which stands in the sentence already.
func plain(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}

func mapKeys[V any](m map[string]V) func(yield func(string) bool) {
	return func(yield func(string) bool) {
		for key := range m {
			if !yield(key) {
				return
			}
		}
	}
}

// copy brings the file of a game up to the ledger.
func (f *folder) copy(game string, entries []entry.Entry) error {
	path := filepath.Join(f.path, game+ending)
	file, sure := f.files[game]
	if !sure || entries == nil || entries[0].Seq != file.count+1 {
		var err error
		if file, entries, err = f.check(game, path); err != nil || len(entries) == 0 {
			return err
		}
	}
	head, err := entries[len(entries)-1].Hash()
	if err != nil {
		return err
	}
	more, err := linesAfter(file.writer, entries)
	if err != nil {
		return err
	}
	if err := durable.Extend(f.disk, path, file.size, more); err != nil {
		return err
	}
	f.files[game] = known{count: file.count + len(entries), size: file.size + int64(len(more)), writer: file.writer}
	f.fades.follow(game, entries, f.now())
	return f.mark(game, file.count+len(entries), head)
}

// check compares a file with the ledger and returns what it lacks. A file that
// ends in the middle of a line is cut to the last whole entry. One that is longer
// than the ledger, or says something else, is left alone.
func (f *folder) check(game, path string) (file known, lacks []entry.Entry, err error) {
	ledger, err := f.log.Load(context.Background(), game)
	if err != nil {
		return known{}, nil, err
	}
	content, err := f.disk.Read(path)
	if errors.Is(err, fs.ErrNotExist) {
		content, err = nil, nil
	}
	if err != nil {
		return known{}, nil, err
	}
	delete(f.differs, game)
	good, writer := content, f.writer(game, ledger)
	count, is := written(writer, ledger, content)
	if !is {
		if ledger, count, err = f.readBack(game, path, ledger, content); err != nil || ledger == nil {
			return known{}, nil, err
		}
		writer = f.writer(game, ledger)
		good, err = linesAfter(writer, ledger[:count])
	}
	if err != nil {
		return known{}, nil, err
	}
	switch {
	case len(content) == 0:
	case f.doubtful[game] || !bytes.Equal(content, good):
		err = durable.Write(f.disk, path, good)
	default: // it may be from a program that was killed before its sync
		err = durable.Extend(f.disk, path, int64(len(good)), nil)
	}
	if err != nil {
		return known{}, nil, err
	}
	delete(f.doubtful, game)
	file = known{count: count, size: int64(len(good)), writer: writer}
	f.files[game] = file
	delete(f.marks, game)
	if count > 0 && count == len(ledger) { // otherwise the mark follows what is still to be copied
		head, err := ledger[count-1].Hash()
		if err == nil {
			err = f.mark(game, count, head)
		}
		if err != nil {
			return known{}, nil, err
		}
	}
	return file, ledger[count:], nil
}

// writer writes the lines of a game as the folder has them: after a time without
// the texts about people.
func (f *folder) writer(game string, ledger []entry.Entry) *entry.Lines {
	writer := &entry.Lines{}
	over := f.fades.follow(game, ledger, f.now())
	if ends, may := f.log.(interface{ NamesEnded(game string) bool }); over || may && ends.NamesEnded(game) {
		writer.Shows = func(entry.Text) bool { return false }
	}
	return writer
}

// readBack reads a file that is not to the byte what the ledger has, and returns how
// many entries of the ledger are in it, and the ledger with what could be learnt from
// it; no ledger where the file is left alone.
func (f *folder) readBack(game, path string, ledger []entry.Entry, content []byte) ([]entry.Entry, int, error) {
	var there Copied
	games, _, err := Read(content)
	if len(games) > 0 {
		there = games[0]
	}
	same := common(ledger, there.Ledger)
	// A damaged file that has no more lines than the ledger has nothing to lose.
	whole := there.Bad == nil || countEntries(content) <= len(ledger)
	if err != nil || len(games) > 1 || same < len(there.Ledger) || !whole {
		f.differs[game] = rules.Say{Key: "copy.differs", Args: rules.Pairs("file", path, "number", strconv.Itoa(same+1))}
		return nil, 0, nil
	}
	// As this bench has them: what was taken out here goes from the copy as well.
	ledger, err = f.learnt(game, ledger, there.Ledger)
	return ledger, same, err
}
