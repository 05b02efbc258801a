package ledgers

// Placing says where lines of a bench belong.
type Placing struct {
	Branch int    // 0: the ledger itself; otherwise a branch
	New    bool   // the branch is to be made
	Base   int    // of a new branch
	Begins int    // the branch from which a new one takes its lines from Base on; 0: none
	Lines  []Line // what is not there yet
	Fork   *ForkError
}

// chain is the ledger, or the ledger as a branch has it.
type chain struct {
	branch, base, end int
}

// match is how far lines stand in a chain.
type match struct {
	chain
	known int  // lines that are there
	fits  bool // the rest can be put behind them
}

// Place says where lines belong in a ledger with branches. They follow each other;
// hash gives the hash at a place of the ledger (branch 0) or of a branch, from its base
// on. It returns a *GapError, or a *ForkError where nothing can be kept because the
// lines before them are not here.
func Place(head Head, branches []Branch, lines []Line, hash func(branch, seq int) (string, error)) (Placing, error) {
	all := []chain{{end: head.Seq}}
	for _, b := range branches {
		all = append(all, chain{branch: b.Number, base: b.Base, end: b.Seq})
	}
	var best *match
	for _, c := range all {
		m, err := c.follow(lines, hash)
		if err != nil {
			return Placing{}, err
		}
		if m != nil && (best == nil || m.known > best.known || m.known == best.known && m.fits && !best.fits) {
			best = m
		}
	}
	switch first := lines[0].Seq; {
	case best == nil && first > head.Seq+1:
		return Placing{}, &GapError{Want: head.Seq + 1}
	case best == nil:
		return Placing{}, &ForkError{Seq: first - 1}
	}
	return best.placing(lines), nil
}

// at is the hash of the chain at a place.
func (c chain) at(seq int, hash func(branch, seq int) (string, error)) (string, error) {
	if seq < c.base {
		return hash(0, seq)
	}
	return hash(c.branch, seq)
}

// follow says how far lines stand in the chain; nil: the line before them does not.
func (c chain) follow(lines []Line, hash func(branch, seq int) (string, error)) (*match, error) {
	first := lines[0]
	if first.Seq > c.end+1 {
		return nil, nil
	}
	if first.Seq > 1 {
		before, err := c.at(first.Seq-1, hash)
		if err != nil || before != first.Prev {
			return nil, err
		}
	}
	m := &match{chain: c}
	for _, line := range lines {
		if line.Seq > c.end {
			break
		}
		here, err := c.at(line.Seq, hash)
		if err != nil {
			return nil, err
		}
		if here != line.Hash {
			return m, nil
		}
		m.known++
	}
	m.fits = true
	return m, nil
}

// placing is where lines go that match so far.
func (m *match) placing(lines []Line) Placing {
	p := Placing{Branch: m.branch, Base: m.base, Lines: lines[m.known:]}
	last := lines[len(lines)-1].Seq
	switch {
	case m.fits && m.branch == 0:
		return p
	case m.fits:
		p.Fork = &ForkError{Seq: m.base, Kept: last}
		return p
	}
	// Another line stands at the place of the first that is not known.
	apart := p.Lines[0].Seq
	p.New, p.Branch = true, 0
	if m.branch != 0 && apart > m.base {
		p.Begins = m.branch
	} else {
		p.Base = apart
	}
	p.Fork = &ForkError{Seq: p.Base, Kept: last}
	return p
}
