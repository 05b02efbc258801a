package openplay

import (
	"bufio"
	"compress/gzip"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// ErrNone is returned for a folder that holds no games.
var ErrNone = errors.New("no open play-by-play")

// Game is one game as it is written.
type Game struct {
	ID    string `json:"game"`
	Feed  string `json:"feed"`
	Rules struct {
		Overtime       int  `json:"ot"`     // skaters
		OvertimeLength int  `json:"ot_len"` // seconds
		ShortGoalFrees bool `json:"sh_goal_ends_minor"`
	} `json:"rules"`
	Box    map[string]Box `json:"box"` // official totals by side, H and A
	Events []Event        `json:"events"`
}

// Box are the official totals of a side.
type Box struct {
	PowerPlayGoals int `json:"ppg"`
	Chances        int `json:"ppo"`
	Minutes        int `json:"pim"`
}

// Event is one event of a game, in the order of the feed.
type Event struct {
	Period   int    `json:"p"`
	Second   int    `json:"t"`
	Wall     int64  `json:"wall_ms"` // milliseconds of Unix time; 0 where the feed has none
	Kind     string `json:"k"`
	Team     string `json:"team"` // H, or A for away
	Who      string `json:"who"`
	Served   string `json:"served"`
	Minutes  int    `json:"min"`
	Severity string `json:"sev"`
	Class    string `json:"class"` // EV, PP, SH
	EmptyNet bool   `json:"empty_net"`
	Code     string `json:"sit"` // visiting goalkeeper, visiting skaters, home skaters, home goalkeeper
	Shot     bool   `json:"ps"`
	ShootOut bool   `json:"so"`
	What     string `json:"desc"` // of a penalty
	In       bool   `json:"in"`   // a goalkeeper came in, or went out
}

// Hard is a goal whose strength changes when one rule is left out.
type Hard struct {
	Game   string `json:"game"`
	Period int    `json:"p"`
	Second int    `json:"t"`
	Team   string `json:"team"`
}

// Folder is where the data is: WHISTLESTOP_PBP, or beside the project.
func Folder() string {
	if folder := os.Getenv("WHISTLESTOP_PBP"); folder != "" {
		return FromRoot(folder)
	}
	return FromRoot("../shared/data/pbp")
}

// FromRoot returns a path as seen from the root of the project, whichever
// package's folder go test runs in. Whoever names a folder names it from the root.
func FromRoot(folder string) string {
	if filepath.IsAbs(folder) {
		return folder
	}
	root := "."
	for range deepest {
		if _, err := os.Stat(filepath.Join(root, "go.mod")); err == nil {
			break
		}
		root = filepath.Join(root, "..")
	}
	return filepath.Join(root, folder)
}

// deepest is how many folders deep a package may lie below the root.
const deepest = 8

const hardPrefix = "hard-"

// Read reads every season of a folder.
func Read(folder string) ([]Game, error) {
	files, err := filepath.Glob(filepath.Join(folder, "*.jsonl.gz"))
	if err != nil {
		return nil, err
	}
	var games []Game
	for _, file := range files {
		if strings.HasPrefix(filepath.Base(file), hardPrefix) {
			continue
		}
		season, err := readLines[Game](file)
		if err != nil {
			return nil, err
		}
		games = append(games, season...)
	}
	if len(games) == 0 {
		return nil, fmt.Errorf("%w in %s: set WHISTLESTOP_PBP to the folder that has it", ErrNone, folder)
	}
	return games, nil
}

// ReadHard reads the hard goals of a folder; a folder may have none.
func ReadHard(folder string) (map[Hard]bool, error) {
	hard := map[Hard]bool{}
	file := filepath.Join(folder, hardPrefix+"goals.jsonl.gz")
	if _, err := os.Stat(file); errors.Is(err, os.ErrNotExist) {
		return hard, nil
	}
	list, err := readLines[Hard](file)
	for _, h := range list {
		hard[h] = true
	}
	return hard, err
}

// readLines reads a gzipped JSON Lines file.
func readLines[T any](file string) ([]T, error) {
	raw, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer raw.Close()
	unzipped, err := gzip.NewReader(raw)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	var list []T
	lines := bufio.NewScanner(unzipped)
	lines.Buffer(nil, 1<<24)
	for lines.Scan() {
		var v T
		if err := json.Unmarshal(lines.Bytes(), &v); err != nil {
			return nil, fmt.Errorf("%s: %w", file, err)
		}
		list = append(list, v)
	}
	return list, lines.Err()
}
