package pocket

import (
	"errors"
	"io"

	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/internal/paper/order"
)

// printed has something printed, and writes the PDF. What an order lacks is said as the
// printer says it.
func (b *Bench) printed(out io.Writer, o order.Order) error {
	if b.print == nil {
		return notPrinted(errors.New("there is no printer"))
	}
	text, err := o.Text()
	if err != nil {
		return err
	}
	b.fetchLetters(string(text))
	pdf, err := b.print(text)
	if err != nil {
		if say, ours := message.Read(err.Error()); ours {
			return &message.Error{Say: say}
		}
		return notPrinted(err)
	}
	_, err = out.Write(pdf)
	return err
}

func notPrinted(why error) error {
	return api.NewNo(api.StatusUnavailable, api.Unavailable, "engine.not_printed", "why", why.Error())
}
