package carry

import (
	"errors"
	"io"
	"mime"
	"net/http"
	"strconv"
	"time"

	"whistlestop/internal/api"
	"whistlestop/internal/locale"
)

// BodyMost is the most bytes that a request may have as a rule: two full rosters
// with long names stay far below it.
const BodyMost = 256 << 10

// pagePolicy is the policy of a report's page: it brings its own styles, and
// nothing of it may be carried out.
const pagePolicy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// Body reads the body of a request, if it is of the operation's media type and
// not larger than it may be. Its errors are those that a caller is told.
func Body(w http.ResponseWriter, r *http.Request, o *api.Operation) ([]byte, error) {
	media, wrong := o.TakesMedia, o.WrongMedia
	if media == "" {
		media, wrong = "application/json", "web.not_json"
	}
	if wrong != "" { // a file is taken however it is called
		if has, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || has != media {
			return nil, api.NewNo(api.StatusWrongMedia, api.Unreadable, wrong)
		}
	}
	most := o.Most
	if most == 0 {
		most = BodyMost
	}
	raw, err := io.ReadAll(http.MaxBytesReader(w, r.Body, int64(most)))
	var large *http.MaxBytesError
	switch {
	case err == nil:
		return raw, nil
	case !errors.As(err, &large):
		return nil, api.Unread("web.unreadable", "why", api.Plain(err))
	case o.TooLarge != "":
		return nil, api.NewNo(api.StatusTooLarge, api.TooLarge, o.TooLarge, "most", strconv.Itoa(most>>20))
	default:
		return nil, api.NewNo(api.StatusTooLarge, api.TooLarge, "web.too_large", "most", strconv.Itoa(most>>10))
	}
}

// Send sends an answer of the API. An error says that it was not taken: whoever asked may
// be gone by then.
func Send(w http.ResponseWriter, status int, f api.File) error {
	h := w.Header()
	if f.Page {
		h.Set("Content-Security-Policy", pagePolicy)
	}
	h.Set("Content-Type", f.Media)
	if f.Name != "" {
		h.Set("Content-Disposition", mime.FormatMediaType("inline", map[string]string{"filename": f.Name}))
	}
	h.Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, err := w.Write(f.Raw)
	return err
}

// Wait lets the answer to a request take its time, and within longer to be taken. A
// server's limits are for requests that end sooner. Where they cannot be lifted the
// question ends with them, and is asked again.
func Wait(w http.ResponseWriter, long, within time.Duration) error {
	control := http.NewResponseController(w)
	return errors.Join(control.SetReadDeadline(time.Time{}), control.SetWriteDeadline(time.Now().Add(long+within)))
}

// Words are the texts of the language that a request wants: what its address says,
// because a link to a file brings no header of ours, then what its header accepts.
func Words(r *http.Request, spoken api.Languages) api.Words {
	wanted := locale.Accepted(r.Header.Get("Accept-Language"))
	if said := r.URL.Query().Get("language"); said != "" {
		wanted = append([]string{said}, wanted...)
	}
	return spoken(wanted...)
}
