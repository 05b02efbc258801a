package leaguefiles

import (
	"bytes"
	"errors"
	"io/fs"
	"path/filepath"
	"sync"

	"whistlestop/internal/folder/durable"
)

// The names of the files.
const (
	LeagueName    = "league.toml"
	ScheduleName  = "schedule" + ".json" // no keys of messages
	DecisionsName = "decisions" + ".toml"
	HandedInName  = "handed-in.json"
	OnDutyName    = "on-duty.json"       // who is on duty, as the crew's desk handed it over
	NotedName     = "who-came.json"      // what the bench noted of them
	BeforeName    = "league-before.toml" // the league file as it was before it was changed last
	// ScheduleBeforeName is the schedule of the season before.
	ScheduleBeforeName = "schedule-before.json"
	// DecisionsBeforeName is what the league decided in it.
	DecisionsBeforeName = "decisions-before.toml"
)

// Names are all of them.
var Names = []string{LeagueName, ScheduleName, DecisionsName, HandedInName, OnDutyName, NotedName}

// Folder is the files. It is safe for use by many goroutines.
type Folder struct {
	path  string
	disk  durable.Disk
	mutex sync.Mutex
}

// New returns the season of a folder, which need not be there yet.
func New(path string) *Folder { return On(durable.System(), path) }

// On returns the season of a folder on a disk.
func On(disk durable.Disk, path string) *Folder {
	return &Folder{path: path, disk: durable.Lenient(disk)}
}

// League returns the league file, or nil where none is kept.
func (f *Folder) League() ([]byte, error) { return f.Read(LeagueName) }

// Schedule returns the schedule, or nil where none is kept.
func (f *Folder) Schedule() ([]byte, error) { return f.Read(ScheduleName) }

// Decisions returns what the league decided, or nil where nothing is kept.
func (f *Folder) Decisions() ([]byte, error) { return f.Read(DecisionsName) }

// HandedIn returns what was handed in to the league, or nil where nothing is kept.
func (f *Folder) HandedIn() ([]byte, error) { return f.Read(HandedInName) }

// Read returns a file by its name, or nil where it is not there.
func (f *Folder) Read(name string) ([]byte, error) {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	text, err := f.disk.Read(filepath.Join(f.path, name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return text, err
}

// KeepLeague writes the league file in place of the one that is there, which is kept
// beside it. After an error, or a power cut on the way, the old one is still there, whole.
func (f *Folder) KeepLeague(text []byte) error {
	before, err := f.League()
	if err != nil {
		return err
	}
	if before != nil && !bytes.Equal(before, text) {
		if err := f.Keep(BeforeName, before); err != nil {
			return err
		}
	}
	return f.Keep(LeagueName, text)
}

// KeepSchedule does the same with the schedule.
func (f *Folder) KeepSchedule(text []byte) error { return f.Keep(ScheduleName, text) }

// KeepScheduleBefore keeps the schedule of the season before beside the one that is to come.
func (f *Folder) KeepScheduleBefore(text []byte) error { return f.Keep(ScheduleBeforeName, text) }

// KeepDecisionsBefore keeps what the league decided in the season before.
func (f *Folder) KeepDecisionsBefore(text []byte) error { return f.Keep(DecisionsBeforeName, text) }

// KeepDecisions does the same with what the league decided.
func (f *Folder) KeepDecisions(text []byte) error { return f.Keep(DecisionsName, text) }

// KeepHandedIn does the same with what was handed in.
func (f *Folder) KeepHandedIn(text []byte) error { return f.Keep(HandedInName, text) }

// OnDuty returns who is on duty, or nil where nothing was handed over.
func (f *Folder) OnDuty() ([]byte, error) { return f.Read(OnDutyName) }

// KeepOnDuty keeps that.
func (f *Folder) KeepOnDuty(text []byte) error { return f.Keep(OnDutyName, text) }

// Noted returns what the bench noted of them, or nil where nothing was.
func (f *Folder) Noted() ([]byte, error) { return f.Read(NotedName) }

// KeepNoted keeps that.
func (f *Folder) KeepNoted(text []byte) error { return f.Keep(NotedName, text) }

// Keep does the same with a file by its name.
func (f *Folder) Keep(name string, text []byte) error {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	if err := durable.MakeFolder(f.path); err != nil {
		return err
	}
	return durable.Write(f.disk, filepath.Join(f.path, name), text)
}
