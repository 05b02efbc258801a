package schedule

import "math"

// bound is the least that the games cost on this ice where each slot has one game
// and who plays does not matter: an assignment, solved by shortest augmenting paths
// with potentials (Kuhn 1955; Jonker and Volgenant 1987, from memory).
func (p *problem) bound() int {
	n, m := len(p.games), len(p.slots)+len(p.games) // a game may also have no ice
	const far = math.MaxInt / 4
	u, v := make([]int, n+1), make([]int, m+1)
	owner, way := make([]int, m+1), make([]int, m+1)
	least, used := make([]int, m+1), make([]bool, m+1)
	row := make([]int, m+1)
	for game := 1; game <= n; game++ {
		owner[0] = game
		for j := range least {
			least[j], used[j] = far, false
		}
		column := 0
		for {
			used[column] = true
			at := owner[column]
			p.costs(at-1, row, far)
			next, delta := 0, far
			for j := 1; j <= m; j++ {
				if c := row[j] - u[at] - v[j]; !used[j] && c < least[j] {
					least[j], way[j] = c, column
				}
				if !used[j] && least[j] < delta {
					next, delta = j, least[j]
				}
			}
			for j := range used {
				if !used[j] {
					least[j] -= delta
					continue
				}
				u[owner[j]] += delta
				v[j] -= delta
			}
			column = next
			if owner[column] == 0 {
				break
			}
		}
		for column != 0 {
			owner[column] = owner[way[column]]
			column = way[column]
		}
	}
	return -v[0]
}

// costs fills a row with what a game costs in each slot; the places after the slots
// are no ice, one for each game.
func (p *problem) costs(game int, row []int, far int) {
	for j := range row {
		row[j] = far / 2
	}
	for _, m := range p.may[game] {
		row[m.slot+1] = m.cost
	}
	row[len(p.slots)+1+game] = costUnplaced
}
