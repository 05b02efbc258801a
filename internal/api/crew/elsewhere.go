package crew

import (
	"slices"
	"strings"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
)

// unknown is the address of links that were made before addresses were kept with them, at
// a desk that came here from another computer.
const unknown = "-"

// elsewhere: a link that opens still, and in which another address of the desk stands.
func (l link) elsewhere(address string, now duties.Moment) bool {
	return l.Address != "" && l.Address != address && l.Until.Compare(now) >= 0
}

// tellsElsewhere: a message tells its person that their page has another address.
func tellsElsewhere(m duties.Message) bool {
	return slices.ContainsFunc(m.Lines, func(l duties.Line) bool { return l.About == duties.Elsewhere })
}

// due is who is to hear what now: of duties, of changes of places that they are asked for,
// and at a hub whoever has a link with another address of this desk in it and was not told.
// A computer of a coordinator has another address in every network; its links say that they
// work in one only.
func (v view) due(d *desk.Desk) []duties.Message {
	lines := v.swapLines(d.Duties)
	if !v.everywhere || v.address == "" {
		return duties.Joined(d.Due(), lines)
	}
	told := map[duties.Who]bool{}
	for _, l := range v.more.Links {
		if l.Team == "" && !l.Told && l.elsewhere(v.address, v.now) && !told[l.Who] && v.person(idOf(l.Who)) >= 0 {
			told[l.Who] = true
			lines = append(lines, duties.AboutPage(l.Who))
		}
	}
	return duties.Joined(d.Due(), lines)
}

// inPlace is the link that a person gets in place of theirs with another address: it opens
// what those open, and what the new one would.
func (v view) inPlace(fresh link) link {
	for _, l := range v.more.Links {
		if l.Team != "" || l.Who != fresh.Who || l.Told || !l.elsewhere(v.address, v.now) {
			continue
		}
		if l.Until.Compare(fresh.Until) > 0 {
			fresh.Until = l.Until
		}
		if len(l.Duties) == 0 {
			fresh.Duties = nil
			return v.whole(fresh)
		}
		for _, one := range l.Duties {
			if !slices.Contains(fresh.Duties, one) {
				fresh.Duties = append(fresh.Duties, one)
			}
		}
	}
	return fresh
}

// whole is a link to somebody's own page, until the season ends.
func (v view) whole(l link) link {
	l.Duties, l.Until = nil, duties.Moment{Day: v.league.To, Clock: 24*60 - 1}
	return l
}

// told is a state in which people were told that their links lead elsewhere, and that they
// are asked to change places, where messages that went out say so.
func (v view) told(st state, messages []duties.Message) state {
	st = st.toldSwaps(messages)
	st.more.Links = slices.Clone(st.more.Links)
	for _, m := range messages {
		if !tellsElsewhere(m) {
			continue
		}
		for i, l := range st.more.Links {
			if l.Who == m.Who && l.Team == "" && l.elsewhere(v.address, v.now) {
				st.more.Links[i].Told = true
			}
		}
	}
	return st
}

// teamsElsewhere are the teams whose managers have a link with another address, and none
// with that of now, by name.
func (v view) teamsElsewhere() []string {
	out := []string{}
	if !v.everywhere || v.league == nil {
		return out
	}
	for _, l := range v.more.Links {
		if l.Team == "" || !l.elsewhere(v.address, v.now) {
			continue
		}
		name := v.league.TeamName(l.Team)
		again := slices.ContainsFunc(v.more.Links, func(o link) bool { return o.Team == l.Team && o.Address == v.address })
		if !again && !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	slices.SortFunc(out, strings.Compare)
	return out
}
