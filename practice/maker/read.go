package maker

import (
	"encoding/json"

	"whistlestop/game/message"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// Parse reads the file of a script and plays it.
func Parse(text []byte, name string, known plot.Known) (script.Script, error) {
	p, err := plot.Parse(text, name, known)
	if err != nil {
		return script.Script{}, err
	}
	s, err := Direct(p)
	if err != nil {
		return script.Script{}, message.In(name, err)
	}
	return s, nil
}

// ReadJSON reads a script that a program wrote, and plays its plot again, so that
// what it holds is whole whatever was in the file.
func ReadJSON(raw []byte) (script.Script, error) {
	var s script.Script
	if err := json.Unmarshal(raw, &s); err != nil {
		return script.Script{}, err
	}
	return Direct(s.Plot)
}
