package rotacheck

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"whistlestop/crew/rota"
)

// middling is a random problem of a few weeks: fifteen people and about forty seats.
func middling(random *rand.Rand) rota.Problem {
	p := rota.Problem{Travel: [][]int{{0, 30}, {30, 0}}, Buffer: 15, Fair: 5, WeekExtra: 8}
	families := 8 + random.IntN(4)
	for range families {
		p.Families = append(p.Families, rota.Family{Target: 2 + random.IntN(3), OneAtATime: random.IntN(3) == 0})
	}
	for i := range 15 {
		p.People = append(p.People, rota.Person{Family: i % families, DayCap: 1 + random.IntN(2), SeasonCap: 3 + random.IntN(3)})
	}
	for range 14 {
		day := random.IntN(6)
		start := 540 + 75*random.IntN(6)
		p.Games = append(p.Games, rota.Game{Day: day, Week: day / 2, Rink: random.IntN(2), Start: start, End: start + 75})
	}
	for g := range p.Games {
		for seat := range 3 {
			slot := rota.Slot{Game: g, Empty: []int{1000, 1000, 200}[seat]}
			for v := range p.People {
				if random.IntN(5) < 2 {
					slot.Candidates = append(slot.Candidates, rota.Candidate{Person: v, Cost: 2*random.IntN(2) + 6*random.IntN(2), Role: rota.Role(random.IntN(3))})
				}
			}
			p.Slots = append(p.Slots, slot)
		}
	}
	return p
}

// program writes a problem as an integer program: a variable for each candidate of a
// slot and each empty slot, steps for the squares of fairness, and a row for each
// pair of duties that do not go together. The constant is what its objective leaves out.
func program(p rota.Problem) (text string, constant int) {
	var cost, rows, binary []string
	row := func(format string, arguments ...any) { rows = append(rows, fmt.Sprintf(format, arguments...)) }
	type duty struct {
		name         string
		person, slot int
		role         rota.Role
	}
	var duties []duty
	sums := map[string][]string{} // of a person's day, week and season, and a family's
	var keys []string
	into := func(key, name string) {
		if sums[key] == nil {
			keys = append(keys, key)
		}
		sums[key] = append(sums[key], name)
	}
	for s, slot := range p.Slots {
		names := []string{fmt.Sprintf("z%d", s)}
		cost = append(cost, fmt.Sprintf("%d z%d", slot.Empty, s))
		for _, c := range slot.Candidates {
			name := fmt.Sprintf("x%d_%d", s, c.Person)
			names = append(names, name)
			cost = append(cost, fmt.Sprintf("%d %s", c.Cost, name))
			duties = append(duties, duty{name, c.Person, s, c.Role})
			game := p.Games[slot.Game]
			into(fmt.Sprintf("day %d %d", c.Person, game.Day), name)
			into(fmt.Sprintf("week %d %d", c.Person, game.Week), name)
			into(fmt.Sprintf("season %d", c.Person), name)
			into(fmt.Sprintf("family %d", p.People[c.Person].Family), name)
		}
		binary = append(binary, names...)
		row("%s = 1", strings.Join(names, " + "))
	}
	for _, key := range keys {
		parts := strings.Fields(key)
		number, _ := strconv.Atoi(parts[1])
		sum := strings.Join(sums[key], " + ")
		switch parts[0] {
		case "day":
			row("%s <= %d", sum, p.People[number].DayCap)
		case "season":
			row("%s <= %d", sum, p.People[number].SeasonCap)
		case "week":
			extra := "y" + parts[1] + "_" + parts[2]
			row("%s - %s <= 1", sum, extra)
			cost = append(cost, fmt.Sprintf("%d %s", p.WeekExtra, extra))
		case "family":
			target := p.Families[number].Target
			for k := 1; k <= len(sums[key]); k++ {
				step := fmt.Sprintf("u%d_%d", number, k)
				cost = append(cost, fmt.Sprintf("%d %s", p.Fair*(2*(k-target)-1), step))
				binary = append(binary, step)
				sum += " - " + step
			}
			row("%s = 0", sum)
		}
	}
	for _, f := range p.Families {
		constant += p.Fair * f.Target * f.Target
	}
	for i, one := range duties {
		for _, other := range duties[:i] {
			a, b := p.Slots[one.slot].Game, p.Slots[other.slot].Game
			family := p.People[one.person].Family
			together := one.person == other.person || family == p.People[other.person].Family && p.Families[family].OneAtATime
			if one.slot != other.slot && together && p.Clash(a, b) {
				row("%s + %s <= 1", one.name, other.name)
			}
		}
	}
	for g := range p.Games {
		var learners, guides []string
		for _, d := range duties {
			if p.Slots[d.slot].Game != g {
				continue
			}
			switch d.role {
			case rota.Learner:
				learners = append(learners, d.name)
			case rota.Guide:
				guides = append(guides, d.name)
			case rota.Ready:
			}
		}
		if len(learners) > 0 {
			row("%s <= 1", strings.Join(learners, " + "))
			row("%s <= 0", strings.Join(append([]string{strings.Join(learners, " + ")}, guides...), " - "))
		}
	}
	return "Minimize\n obj: " + strings.ReplaceAll(strings.Join(cost, "\n + "), "+ -", "- ") +
		"\nSubject To\n " + strings.Join(rows, "\n ") + "\nBinary\n " + strings.Join(binary, "\n ") + "\nEnd\n", constant
}

// aboveMost is how many points a small cost may be above the least: less than any wish
// weighs twice.
const aboveMost = 4

// Rotas of middling problems cost what the solver says is least, wherever they are
// said to be proved; a cost is never below that, a bound never above it, and no cost
// more than a hundredth above, or some points where that is less.
// WHISTLESTOP_TRIES sets how many.
func TestRotasAgainstAnIndependentSolver(t *testing.T) {
	count := 12
	if n, err := strconv.Atoi(os.Getenv("WHISTLESTOP_TRIES")); err == nil {
		count = n
	}
	type input struct {
		Programs []string `json:"programs"`
		Limit    int      `json:"limit"`
	}
	in := input{Limit: 60}
	var problems []rota.Problem
	var constants []int
	for i := range count {
		p := middling(rand.New(rand.NewPCG(uint64(i), 21)))
		text, constant := program(p)
		problems, constants, in.Programs = append(problems, p), append(constants, constant), append(in.Programs, text)
	}
	raw, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	solve := exec.Command("node", "rotacheck/solve.mjs")
	solve.Dir, solve.Stdin = "..", bytes.NewReader(raw)
	answer, err := solve.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, answer)
	}
	var found []struct {
		Status string `json:"status"`
		Value  int    `json:"value"`
	}
	if err := json.Unmarshal(answer, &found); err != nil || len(found) != count {
		t.Fatalf("%v: %s", err, answer)
	}
	equal, proved, gap := 0, 0, 0
	for i, p := range problems {
		if found[i].Status != "Optimal" {
			t.Errorf("problem %d: the solver says %s", i, found[i].Status)
			continue
		}
		least := found[i].Value + constants[i]
		made, err := rota.Make(p, rota.Options{Seed: 1, Moves: 300_000, Steps: 3_000})
		if err != nil {
			t.Fatal(err)
		}
		if faults := rota.Check(p, made.Who); len(faults) > 0 {
			t.Errorf("problem %d: %v", i, faults)
		}
		if made.Cost < least || made.Bound > least || made.Proved && made.Cost != least {
			t.Errorf("problem %d: cost %d, bound %d, proved %v; the least is %d", i, made.Cost, made.Bound, made.Proved, least)
		}
		if made.Cost > least+max(aboveMost, least/100) {
			t.Errorf("problem %d: cost %d is more than a hundredth above the least, %d", i, made.Cost, least)
		}
		if made.Cost == least {
			equal++
		} else {
			t.Logf("problem %d: cost %d, bound %d; the least is %d", i, made.Cost, made.Bound, least)
		}
		if made.Proved {
			proved++
		}
		gap = max(gap, made.Cost-least)
	}
	fmt.Printf("rota: the least cost for %d of %d problems, proved for %d, at most %d points above\n", equal, count, proved, gap)
}
