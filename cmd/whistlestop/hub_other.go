package main

import (
	"path/filepath"
	"strings"
	"time"

	"whistlestop/game/datafile"
	"whistlestop/game/message"
	"whistlestop/internal/hub/oidc"
	"whistlestop/internal/hub/site"
)

// otherService is the service of a file of settings by which people sign in at a hub too;
// nil where none is given.
func otherService(file, address string) (*oidc.Service, error) {
	if file == "" {
		return nil, nil
	}
	text, err := readAtMost(file, datafile.Most)
	if err != nil {
		return nil, cannotRead(file, err)
	}
	settings, err := oidc.Read(text, filepath.Base(file))
	if err != nil {
		return nil, err
	}
	if secret := settings.SecretFile; secret != "" {
		if !filepath.IsAbs(secret) {
			secret = filepath.Join(filepath.Dir(file), secret)
		}
		text, err := readAtMost(secret, datafile.Most)
		if err != nil {
			return nil, cannotRead(secret, err)
		}
		if settings.Secret = strings.TrimRight(string(text), "\r\n"); settings.Secret == "" {
			return nil, message.New("hub.other.secret", "file", secret)
		}
	}
	return oidc.New(settings, address+site.OtherBack, nil, time.Now), nil
}
