package desk

import (
	"cmp"
	"slices"

	"whistlestop/crew/duties"
)

// Balance is what a family did and promised beside its share, all in the unit of the
// rules.
type Balance struct {
	Family string
	Share  int
	IsDone bool // counts as done whatever it does
	duties.Count
	LeftLate int   // of Missed: said no too late
	Pots     []Pot // of the rules, in their order
}

// Pot is what a family has in a pot.
type Pot struct {
	Amount         int // that is to be done
	Done, Promised int
	Over           bool // its last day is past
}

// Missing is what is to be done still, nought or more.
func (p Pot) Missing() int { return max(0, p.Amount-p.Done) }

// Balances are those of all families, in the order of the plan.
func (d *Desk) Balances() []Balance {
	book := d.Log.Work()
	family := map[string]int{}
	for f, name := range d.Plan.Families {
		family[name] = f
	}
	worth := func(slot int) int {
		if f, known := family[d.Duties[slot].Family]; !known || !d.Plan.Counts(slot, f) {
			return 0
		}
		return d.Plan.Worth(slot)
	}
	counts := duties.Sums(d.Duties, book, d.Now, worth)
	late := d.leftLate(book)
	var list []Balance
	for f, name := range d.Plan.Families {
		b := Balance{Family: name, Share: d.Plan.Shares[f], IsDone: d.Plan.IsDone(f), Count: counts[name], LeftLate: late[name]}
		b.Missed += b.LeftLate
		if d.Plan.Rules.Target.Unsaid {
			b.Done, b.Unmarked = b.Done+b.Unmarked, 0
		}
		b.Pots = d.pots(f, book, worth)
		list = append(list, b)
	}
	return list
}

// leftLate is what families left too late, by name.
func (d *Desk) leftLate(book duties.Book) map[string]int {
	late := map[string]int{}
	if hours := d.Plan.Rules.Target.Late; hours > 0 {
		for _, one := range book.LeftLate(hours) {
			if slot, err := d.Slot(one.Game, one.Seat); err == nil {
				late[one.Family] += d.Plan.Worth(slot)
			}
		}
	}
	return late
}

// pots fills the pots with a family's duties, by day: each goes into the first pot
// that takes it and is not full, or else into the last that takes it.
func (d *Desk) pots(family int, book duties.Book, worth func(int) int) []Pot {
	rules := d.Plan.Rules
	if len(rules.Pots) == 0 {
		return nil
	}
	pots := make([]Pot, len(rules.Pots))
	for i, pot := range rules.Pots {
		pots[i] = Pot{Amount: d.Plan.Of(pot.Amount, family), Over: pot.By != nil && *pot.By < d.Now.Day}
	}
	var mine []int
	for slot, one := range d.Duties {
		if one.Name != "" && one.Family == d.Plan.Families[family] {
			mine = append(mine, slot)
		}
	}
	slices.SortStableFunc(mine, func(a, b int) int { return cmp.Compare(d.Duties[a].Day, d.Duties[b].Day) })
	for _, slot := range mine {
		one := d.Duties[slot]
		n, at := worth(slot), -1
		for i, pot := range rules.Pots {
			if pot.Takes(one.Seat, one.Day) {
				if at = i; pots[i].Done+pots[i].Promised < pots[i].Amount {
					break
				}
			}
		}
		if at < 0 {
			continue
		}
		switch c := duties.Counts([]duties.Duty{one}, book, d.Now)[one.Family]; {
		case c.Done > 0 || c.Unmarked > 0 && rules.Target.Unsaid:
			pots[at].Done += n
		case c.Promised > 0:
			pots[at].Promised += n
		}
	}
	return pots
}
