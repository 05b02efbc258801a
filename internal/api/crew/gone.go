package crew

import (
	"strings"

	"whistlestop/crew/duties"
	"whistlestop/internal/api"
)

// gone is where a desk works now that another computer or a hub took over.
type gone struct {
	Address string        `json:"address"` // that its pages begin with
	Since   duties.Moment `json:"since"`
}

// crewGoneJSON says where the desk works now; an empty address: here again.
type crewGoneJSON struct {
	Address string `json:"address"`
}

// addressMost is how long the address of a desk is at most, in bytes. Ours.
const addressMost = 200

// addressLetters are what the address of a desk has beside letters and digits: names,
// numbers, a port, folders. It has no name of a user in it.
const addressLetters = ".-:[]_~/"

// readAddress is the address of a desk as somebody copied it out of a browser, from its
// own page or without one. Empty: it is none.
func readAddress(typed string) string {
	whole, _, _ := strings.Cut(strings.TrimSpace(typed), "#")
	whole, _, _ = strings.Cut(whole, "?")
	scheme, rest, _ := strings.Cut(whole, "://")
	rest = strings.TrimRight(strings.TrimSuffix(strings.TrimRight(rest, "/"), "/desk"), "/")
	other := func(r rune) bool {
		return (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') && (r < '0' || r > '9') && !strings.ContainsRune(addressLetters, r)
	}
	if scheme != "https" && scheme != "http" || rest == "" || rest[0] == '/' || len(typed) > addressMost || strings.ContainsFunc(rest, other) {
		return ""
	}
	return scheme + "://" + rest
}

// moveAway keeps where the desk works now. People's links lead there from then on, and
// nothing is sent from here.
func (s *Service) moveAway(c *api.Call, in crewGoneJSON) (crewOverviewJSON, error) {
	_, err := with(s, c, func(v view) (struct{}, error) {
		st := v.state
		st.more.Gone = nil
		if in.Address != "" {
			address := readAddress(in.Address)
			if address == "" || address == v.address || address == c.Base {
				return struct{}{}, api.Refuse("crew.gone.address").About("address")
			}
			st.more.Gone = &gone{address, v.now}
		}
		return struct{}{}, s.keep(c, "moved away", st, morePaper)
	})
	if err != nil {
		return crewOverviewJSON{}, err
	}
	return s.overview(c)
}

// elsewhereNow is the page of a link at the desk that took this one over; empty: it is here.
// Tokens are good there as well.
func (v view) elsewhereNow(page, token string) string {
	if v.more.Gone == nil {
		return ""
	}
	return v.more.Gone.Address + page + token
}

// here returns a no where the desk works somewhere else now.
func (v view) here() error {
	if v.more.Gone == nil {
		return nil
	}
	return api.NewNo(api.StatusGone, api.Missing, "crew.gone", "address", v.more.Gone.Address)
}
