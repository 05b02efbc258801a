package main

import (
	"context"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"whistlestop/game/datafile"
	"whistlestop/game/message"
	"whistlestop/internal/api/crew"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/mail"
	"whistlestop/internal/mail/submit"
	"whistlestop/internal/push/sender"
)

// passwordOfMail is where the password may stand in the surroundings: a command's
// arguments are in lists that others read.
const passwordOfMail = "WHISTLESTOP_MAIL_PASSWORD"

// mailFlags are those of commands that send letters.
type mailFlags struct {
	Mail string `type:"existingfile"`
}

// post is how letters are sent by a file of settings; nil where none is given.
func (p *Program) post(f mailFlags) (*submit.Post, error) {
	if f.Mail == "" {
		return nil, nil
	}
	text, err := readAtMost(f.Mail, datafile.Most)
	if err != nil {
		return nil, cannotRead(f.Mail, err)
	}
	settings, err := submit.Read(text, filepath.Base(f.Mail))
	if err != nil {
		return nil, err
	}
	getenv := p.Getenv
	if getenv == nil {
		getenv = os.Getenv
	}
	settings.Password = getenv(passwordOfMail)
	if file := settings.PasswordFile; file != "" && settings.Password == "" {
		if !filepath.IsAbs(file) {
			file = filepath.Join(filepath.Dir(f.Mail), file)
		}
		text, err := readAtMost(file, datafile.Most)
		if err != nil {
			return nil, cannotRead(file, err)
		}
		settings.Password = strings.TrimRight(string(text), "\r\n")
	}
	if settings.User != "" && settings.Password == "" {
		return nil, message.New("mail.password", "variable", passwordOfMail)
	}
	return submit.New(settings, nil), nil
}

// devices are how reminders go to people's devices, where somebody said whom push services
// may write to about it; nil: nobody did.
func (p *Program) devices(contact string) (crew.Pusher, error) {
	if contact == "" {
		return nil, nil
	}
	address, is := mail.Address(contact)
	if page, err := url.Parse(contact); !(is && address == contact) && (err != nil || page.Scheme != "https" || page.Host == "") {
		return nil, message.New("mail.push_contact", "contact", message.Plain(contact))
	}
	if p.pusher != nil {
		return p.pusher, nil
	}
	return sender.New(contact), nil
}

// couriers send the letters of desks until they are closed.
type couriers struct {
	ctx, cut       context.Context
	end, cutLetter context.CancelFunc
	group          sync.WaitGroup
}

func newCouriers() *couriers {
	c := &couriers{}
	c.ctx, c.end = context.WithCancel(context.Background())
	c.cut, c.cutLetter = context.WithCancel(context.Background())
	return c
}

// send begins to send the letters of a desk.
func (c *couriers) send(desk *crew.Service) {
	if desk.Post != nil || desk.Push != nil {
		c.group.Go(func() { desk.Courier(c.ctx, c.cut, office.Now) })
	}
}

// close ends that. A letter that is on its way is waited for as long as a request; what
// came of it is kept.
func (c *couriers) close() {
	c.end()
	late := time.AfterFunc(closeWithin, c.cutLetter)
	c.group.Wait()
	late.Stop()
	c.cutLetter()
}
