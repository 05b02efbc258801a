package practice

import (
	"context"
	"slices"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
	"whistlestop/internal/api"
	"whistlestop/practice/grade"
	"whistlestop/practice/progress"
)

func (p *play) ledger() ([]entry.Entry, error) {
	return p.bench.Ledger(context.Background(), p.id)
}

// evaluate grades as far as the practice has come.
func (p *play) evaluate() (grade.Grade, error) {
	ledger, err := p.ledger()
	if err != nil {
		return grade.Grade{}, err
	}
	upTo := p.run.UpTo()
	if p.over() {
		upTo = len(p.script.Cues) - 1
	}
	return p.grader.UpTo(ledger, p.run.Acts(), upTo)
}

func (p *play) over() bool { return p.run.Newest() == len(p.script.Cues)-1 }

func graded(c *api.Call) (any, error) {
	p := playOf(c)
	g, err := p.evaluate()
	if err != nil {
		return nil, err
	}
	return Graded{Grade: g, Script: p.title, Seat: p.seat, Score: progress.ResultOf(g, p.script, "", p.seat, 0).Score, Critical: g.CriticalOf(p.seat)}, nil
}

// record is the practice to take along.
func record(c *api.Call) (any, error) {
	p := playOf(c)
	ledger, err := p.ledger()
	if err != nil {
		return nil, err
	}
	lines, err := api.Lines(ledger)
	return Record{Script: p.script.Text(), Ledger: string(lines), Acts: p.run.Acts()}, err
}

// result is what is kept of a practice that is over.
func result(c *api.Call) (any, error) {
	var n Naming
	if err := c.Read(&n); err != nil {
		return nil, err
	}
	p := playOf(c)
	if !p.over() {
		return nil, api.NewNo(api.StatusConflict, api.Conflict, "engine.not_over")
	}
	g, err := p.evaluate()
	if err != nil {
		return nil, err
	}
	result := progress.ResultOf(g, p.script, n.Name, p.seat, n.Day)
	code, err := progress.EncodeResult(result)
	if err != nil {
		return nil, api.Refuse("engine.not_kept", "why", message.Inside(err))
	}
	return Kept{Result: result, Code: code}, nil
}

// readCodes reads results as they were sent: a code in a line, with spaces in it
// or not, or several with spaces between.
func readCodes(c *api.Call) (any, error) {
	var sent SentCodes
	if err := c.Read(&sent); err != nil {
		return nil, err
	}
	read := CodesRead{Results: []progress.Result{}, Bad: []BadCode{}}
	take := func(code string) error {
		r, err := progress.DecodeResult(code)
		if err == nil {
			read.Results = append(read.Results, r)
		}
		return err
	}
	for line := range strings.Lines(sent.Text) {
		parts := strings.Fields(line)
		if len(parts) == 0 || take(line) == nil {
			continue
		}
		for _, code := range parts {
			if err := take(code); err != nil {
				read.Bad = append(read.Bad, BadCode{Text: api.Clip(code), Why: api.Reason(c.Words, err)})
			}
		}
	}
	return read, nil
}

// today says what somebody should practise.
func today(c *api.Call) (any, error) {
	var a Asking
	if err := c.Read(&a); err != nil {
		return nil, err
	}
	if !slices.Contains(progress.Seats, a.Seat) {
		return nil, api.Refuse("engine.no_seat", "seat", string(a.Seat))
	}
	return Today{
		Due:   progress.Today(a.Results, a.Name, a.Seat, a.Day),
		Ready: progress.ReadinessOf(a.Results, a.Name, a.Seat, progress.DefaultBar, a.Day),
	}, nil
}

// everybody lists who is ready for what.
func everybody(c *api.Call) (any, error) {
	var l Listing
	if err := c.Read(&l); err != nil {
		return nil, err
	}
	if l.Bar.Games <= 0 {
		l.Bar = progress.DefaultBar
	}
	rows := progress.Everybody(l.Results, l.Bar, l.Day)
	table := progress.TableOf(rows)
	return Listed{
		Bar: l.Bar, Rows: rows, Table: table, CSV: table.CSV(func(s rules.Say) string { return c.Words.Text(s.Key, s.Args) }),
	}, nil
}
