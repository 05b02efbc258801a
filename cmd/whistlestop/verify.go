package main

import (
	"encoding/json"
	"fmt"
	"os"
	"strconv"

	"whistlestop/game/message"
	"whistlestop/record/seal"
)

type verifyCommand struct {
	Game        string `arg:""`
	Fingerprint string
	Against     string `type:"path"`
	Key         []string
	Data        string `type:"path"`
	JSON        bool
}

// ledgerMost is the largest ledger that is read, in bytes. A whole game has less
// than one megabyte.
const ledgerMost = 16 << 20

// errTouched ends the program with a failure after everything was said.
var errTouched = message.New("command.verify.failed")

// verify says whether a ledger is as it was written, and names the first entry
// that was touched.
func (p *Program) verify(c verifyCommand) error {
	file, err := readMost(c.Game)
	if err != nil {
		return err
	}
	if err := p.inFolder(c.Data); err != nil {
		return err
	}
	pins, err := p.pins(p.words.in())
	if len(c.Key) > 0 {
		pins = nil // whoever names keys means these and no others
	}
	for _, key := range c.Key {
		if one := (keyLine{Name: p.words.say("command.keys.given"), Key: key}); err == nil {
			err = checkPin(one)
			pins = append(pins, seal.Pin{Name: one.Name, Key: one.Key})
		}
	}
	if err != nil {
		return err
	}
	v := seal.Verify(file)
	v.Pinned(pins)
	if c.Against != "" {
		other, err := readMost(c.Against)
		if err != nil {
			return err
		}
		v.Against(file, other)
	}
	var printed seal.Found
	replaced := false
	if c.Fingerprint != "" {
		fingerprint, err := seal.ReadFingerprint(c.Fingerprint)
		if err != nil {
			return message.Because(err, "command.verify.fingerprint", "text", c.Fingerprint)
		}
		printed, replaced = v.Printed(fingerprint)
	}
	if c.JSON {
		out := json.NewEncoder(p.Out)
		out.SetIndent("", "  ")
		err = out.Encode(struct {
			Version int `json:"version"` // of this form
			seal.Verdict
		}{seal.VerdictVersion, v})
	} else {
		err = p.sayVerdict(v, printed, replaced)
	}
	if err == nil && v.First != nil {
		return errTouched
	}
	return err
}

func (p *Program) sayVerdict(v seal.Verdict, printed seal.Found, replaced bool) error {
	var lines []string
	if v.First != nil {
		pairs := make([]string, 0, 2*len(v.First.Say.Args))
		for _, arg := range v.First.Say.Args {
			pairs = append(pairs, arg.Name, arg.Text)
		}
		lines = append(lines, p.words.say(v.First.Say.Key, pairs...))
	} else {
		lines = append(lines, p.words.say("command.verify.whole", "entries", strconv.Itoa(v.Entries)))
	}
	if v.Around() {
		lines = append(lines, p.words.say("command.verify.unvouched", "numbers", seal.Numbers(v.Unvouched)))
	}
	if len(v.Withdrawn) > 0 {
		lines = append(lines, p.words.say("command.verify.withdrawn", "numbers", seal.Numbers(v.Withdrawn)))
	}
	if v.Out > 0 {
		lines = append(lines, p.words.say("command.verify.out", "count", strconv.Itoa(v.Out)))
	}
	for _, s := range v.Seals {
		key, pairs := s.Said()
		lines = append(lines, p.words.say(key, pairs...))
		switch {
		case s.Signer != "":
			lines = append(lines, p.words.say("command.verify.signed_by", "key", s.KeyName, "name", s.Signer))
		case v.First == nil:
			lines = append(lines, p.words.say("command.verify.signed_unknown", "key", s.KeyName))
		}
	}
	switch {
	case len(v.Seals) == 0:
		lines = append(lines, p.words.say("command.verify.unsealed"))
	case v.After > 0:
		lines = append(lines, p.words.say("command.verify.after", "entries", strconv.Itoa(v.After)))
	}
	if printed.Entry != "" {
		key := "command.verify.printed"
		if replaced {
			key = "command.verify.replaced"
		}
		lines = append(lines, p.words.say(key, "version", strconv.Itoa(printed.Version)))
	}
	for _, line := range lines {
		if _, err := fmt.Fprintln(p.Out, line); err != nil {
			return err
		}
	}
	return nil
}

// readMost reads a file that is no larger than any ledger.
func readMost(file string) ([]byte, error) {
	raw, err := readAtMost(file, ledgerMost)
	if err != nil {
		return nil, cannotRead(file, err)
	}
	return raw, nil
}

// readAtMost reads a file that somebody names, and no more of it than may be.
// What is no plain file, such as a device that never ends, is refused.
func readAtMost(file string, most int) ([]byte, error) {
	info, err := os.Stat(file)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() || info.Size() > int64(most) {
		return nil, message.New("command.too_large", "most", strconv.Itoa(most>>10))
	}
	return os.ReadFile(file)
}
