package web

import (
	"net/http"

	"whistlestop/internal/api"
	"whistlestop/internal/locale"
	"whistlestop/internal/web/carry"
)

// Speaks are languages as the API asks for them.
func Speaks(spoken *locale.Spoken) api.Languages {
	return func(wanted ...string) api.Words {
		words, _ := spoken.Best(wanted...)
		return words
	}
}

// words are the texts of the language that a request wants.
func (s *Server) words(r *http.Request) api.Words { return carry.Words(r, s.Languages) }
