// Package submit hands letters to a provider's server (RFC 6409), encrypted from the first
// byte (RFC 8314, port 465) or by STARTTLS, which it insists on (port 587), with a login.
//
//	settings, err := submit.Read(text, "mail.toml", password)
//	post := submit.New(settings, nil)
//	err = post.Send(ctx, letter)
//
// Settings are a file that people write; the password is in none of it.
package submit
