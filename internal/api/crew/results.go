package crew

import (
	"slices"

	"whistlestop/crew/readiness"
	"whistlestop/internal/api"
	"whistlestop/internal/wording"
	"whistlestop/practice/progress"
)

// crewTextJSON is what somebody pasted.
type crewTextJSON struct {
	Text string `json:"text"`
}

// crewResultsJSON is what came of codes of practice results, and of the seats that
// people had.
type crewResultsJSON struct {
	Read   int               `json:"read"`   // codes that were not known before
	Levels []string          `json:"levels"` // whose levels are other ones now, and why
	Nobody []string          `json:"nobody"` // names of results that are not in the list
	People []crewPersonJSON  `json:"people"`
	Bad    []crewFindingJSON `json:"bad"`
}

// keepResults reads the codes in a text, and brings everybody's levels up to what they
// practised and which seats they had.
func (s *Service) keepResults(c *api.Call, in crewTextJSON) (crewResultsJSON, error) {
	return with(s, c, func(v view) (crewResultsJSON, error) {
		out, st := crewResultsJSON{Levels: []string{}, Bad: []crewFindingJSON{}}, v.state
		codes := slices.Clone(st.more.Results)
		for _, code := range readiness.Find(in.Text) {
			if code.Err != nil {
				out.Bad = append(out.Bad, crewFindingJSON{code.Line, api.Reason(c.Words, code.Err)})
			} else if !slices.Contains(codes, code.Text) {
				codes = append(codes, code.Text)
				out.Read++
			}
		}
		known := readiness.Known{Held: readiness.Seats(st.log, st.rules.KindOf), Today: v.now.Day}
		for _, code := range codes {
			if result, err := progress.DecodeResult(code); err == nil {
				known.Results = append(known.Results, result)
			}
		}
		changes := readiness.Work(st.people, st.rules.Kinds(), known)
		out.Nobody = texts(readiness.Strangers(known.Results, st.people))
		for _, one := range changes {
			out.Levels = append(out.Levels, wording.LevelChange(c.Words, st.people, one))
		}
		st.people, st.more.Results = readiness.Apply(st.people, changes, known.Held), codes
		out.People = st.everybody()
		return out, s.keep(c, "results", st, peoplePaper, morePaper)
	})
}
