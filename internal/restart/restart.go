package restart

import (
	"encoding/json"
	"fmt"

	"whistlestop/game/entry"
)

// StepLeast is the largest step of the time of day that is taken for the
// difference of two readings, in milliseconds (ours).
const StepLeast entry.Millis = 2000

// Reading is the computer's clocks at one instant.
type Reading struct {
	Wall  entry.Millis // time of day, Unix time
	Count entry.Millis // a clock that counts through sleep and cannot be set
	Boot  string       // the start of the computer since which it counts; "": there is no such clock
}

// File keeps the record. Read returns nothing where there is none.
type File interface {
	Read() ([]byte, error)
	Write([]byte) error
}

// record is what is kept. Its times are of the bench, which never step.
type record struct {
	Version int          `json:"version"`
	Wall    entry.Millis `json:"time_ms"`
	Count   entry.Millis `json:"count_ms"`
	Boot    string       `json:"boot"`
	Own     entry.Millis `json:"own_ms"` // as Wall, and no setting of the time of day moves it
	Still   bool         `json:"still"`  // the program ended, and no clock ran
	Running []string     `json:"running,omitempty"`
}

// Found is what is known at a start.
type Found struct {
	Now     entry.Millis // the time with which the bench begins
	Own     entry.Millis // the same in a time that only goes on: for what lasts so long
	Doubt   bool         // a clock that ran before the start cannot be believed
	Kept    entry.Millis // the newest instant that was written; 0: none
	Counted bool         // whether Since and Step are known
	Since   entry.Millis // how long ago Kept was
	Step    entry.Millis // by which the time of day was set since
	Running []string     // the games whose clock ran at Kept
	Behind  bool         // the time of day lies before what was written: one of them cannot be
}

// OwnAt returns the own time at an instant of the bench's time.
func (f Found) OwnAt(now entry.Millis) entry.Millis { return now - f.Now + f.Own }

// Keeper writes the record.
type Keeper struct {
	file File
	read func() Reading
}

// Open reads the record and says what follows from it. One that cannot be read
// vouches for nothing: then clocks are doubted, and the error says why.
func Open(file File, read func() Reading) (*Keeper, Found, error) {
	k := &Keeper{file: file, read: read}
	raw, err := file.Read()
	var kept *record
	if err == nil && raw != nil {
		kept = &record{}
		if err = json.Unmarshal(raw, kept); err == nil && kept.Version != 1 {
			err = fmt.Errorf("it is of version %d", kept.Version)
		}
		if err != nil {
			kept = nil
		}
	}
	return k, judge(kept, read()), err
}

// Write keeps the bench's time of this instant and the games whose clock runs. At
// its end the program says so: then none can have been started since.
func (k *Keeper) Write(now, own entry.Millis, running []string, ends bool) error {
	r := k.read()
	raw, err := json.Marshal(record{Version: 1, Wall: now, Count: r.Count, Boot: r.Boot, Own: own,
		Running: running, Still: ends && len(running) == 0})
	if err != nil {
		return err
	}
	return k.file.Write(raw)
}

// judge holds what was kept against what the clocks say now.
func judge(kept *record, r Reading) Found {
	if kept == nil {
		return Found{Now: r.Wall, Own: r.Wall, Doubt: true}
	}
	found := Found{
		Now: r.Wall, Own: kept.Own + max(0, r.Wall-kept.Wall), Doubt: !kept.Still,
		Kept: kept.Wall, Running: kept.Running, Behind: r.Wall < kept.Wall-StepLeast,
	}
	if kept.Boot == "" || kept.Boot != r.Boot || r.Count < kept.Count {
		return found
	}
	found.Counted, found.Since = true, r.Count-kept.Count
	found.Own = kept.Own + found.Since
	found.Step = r.Wall - (kept.Wall + found.Since)
	if found.Step >= -StepLeast && found.Step <= StepLeast {
		// The two readings are not taken at once, and clocks are put right in small
		// steps: the bench's time goes on as it was counted.
		found.Now, found.Doubt, found.Step = kept.Wall+found.Since, false, 0
	}
	return found
}
