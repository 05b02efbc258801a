package laptop

import (
	"errors"

	"whistlestop/game/message"
	"whistlestop/internal/api"
)

// pictureMost is the most bytes of a picture that is sent.
const pictureMost = 4 << 20

// Pictures keeps the picture that the Wall shows in the breaks.
type Pictures interface {
	// Get returns the picture, its media type and an id that another one has not; no
	// bytes: there is none.
	Get() (raw []byte, media, id string, err error)
	// Keep checks a file and keeps it. An error with a message says what is wrong with
	// the file; any other one that it could not be kept.
	Keep(file []byte) error
	Remove() error
}

// wallJSON is what a Wall shows beside its game.
type wallJSON struct {
	// Picture is the id of the picture of the breaks; empty: there is none.
	Picture string `json:"picture"`
}

func (s *Service) wall(*api.Call) (wallJSON, error) {
	if s.Pictures == nil {
		return wallJSON{}, nil
	}
	_, _, id, err := s.Pictures.Get()
	if err != nil {
		return wallJSON{}, s.noPicture(err)
	}
	return wallJSON{Picture: id}, nil
}

func (s *Service) wallPicture(*api.Call) (api.File, error) {
	if s.Pictures == nil {
		return api.File{}, api.NotThere("wall_picture.none")
	}
	raw, media, _, err := s.Pictures.Get()
	switch {
	case err != nil:
		return api.File{}, s.noPicture(err)
	case raw == nil:
		return api.File{}, api.NotThere("wall_picture.none")
	}
	return api.File{Raw: raw, Media: media}, nil
}

func (s *Service) keepWallPicture(c *api.Call) (wallJSON, error) {
	file, err := c.Body()
	if err != nil {
		return wallJSON{}, err
	}
	if s.Pictures == nil {
		return wallJSON{}, s.noPicture(errors.ErrUnsupported)
	}
	if err := s.Pictures.Keep(file); err != nil {
		var fault *message.Error
		if errors.As(err, &fault) {
			return wallJSON{}, api.Refuse("wall_picture.unusable", "why", message.Inside(err)).About("picture")
		}
		return wallJSON{}, s.noPicture(err)
	}
	return s.wall(c)
}

func (s *Service) removeWallPicture(c *api.Call) (wallJSON, error) {
	if s.Pictures == nil {
		return wallJSON{}, nil
	}
	if err := s.Pictures.Remove(); err != nil {
		return wallJSON{}, s.noPicture(err)
	}
	return s.wall(c)
}

func (s *Service) noPicture(err error) error {
	s.Logger.Error("keep the picture of the Wall", "error", err)
	return api.NotNow("wall_picture.not_kept")
}
