package league

import (
	"slices"
	"strings"
)

// Setting is a place in a league file: a table, which one of its list or of which
// division, and the setting in it. The key is empty for the table as a whole.
type Setting struct {
	Table string
	At    int
	Key   string
}

// SettingAt is what stands on a line of a league file, from 1.
func SettingAt(text []byte, line int) Setting {
	t := toText(text)
	seen, at := map[string]int{}, Setting{}
	for i := 0; i < len(t.lines) && i < line; i++ {
		if header, list := headerOf(t.lines[i]); header != "" {
			at = Setting{Table: header}
			switch {
			case strings.HasPrefix(header, ofDivision):
				at.At = max(seen["division"]-1, 0)
			case list:
				at.At = seen[header]
				seen[header]++
			}
			continue
		}
		name, to, is := t.settingAt(i, len(t.lines))
		if !is {
			continue
		}
		if i < line && line <= to {
			at.Key = name
			return at
		}
		i = to - 1
	}
	return at
}

// Naming is what of a league names one of its rinks or divisions.
type Naming struct {
	Ice    int      // rows of ice slots
	Teams  []string // whose home it is, by name
	Drives []string // rinks that know the way to it, by name
}

// NamingRink finds what names a rink, by its id.
func (l League) NamingRink(id string) (n Naming) {
	for _, ice := range l.Ice {
		if ice.Rink == id {
			n.Ice++
		}
	}
	for _, d := range l.Divisions {
		for _, t := range d.Teams {
			if t.Home == id {
				n.Teams = append(n.Teams, t.Name)
			}
		}
	}
	for _, r := range l.Rinks {
		if _, there := r.Drive[id]; there {
			n.Drives = append(n.Drives, r.Name)
		}
	}
	return n
}

// NamingDivision finds what names a division, by its id.
func (l League) NamingDivision(id string) (n Naming) {
	for _, ice := range l.Ice {
		if slices.Contains(ice.For, id) {
			n.Ice++
		}
	}
	return n
}
