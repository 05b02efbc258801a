package web

import (
	"net/http"

	"whistlestop/internal/api"
	"whistlestop/internal/locale"
)

// Speaks are languages as the API asks for them.
func Speaks(spoken *locale.Spoken) api.Languages {
	return func(wanted ...string) api.Words {
		words, _ := spoken.Best(wanted...)
		return words
	}
}

// words are the texts of the language that a request wants: what its address says,
// because a link to a file brings no header of ours, then what its header accepts.
func (s *Server) words(r *http.Request) api.Words {
	wanted := locale.Accepted(r.Header.Get("Accept-Language"))
	if said := r.URL.Query().Get("language"); said != "" {
		wanted = append([]string{said}, wanted...)
	}
	return s.Languages(wanted...)
}
