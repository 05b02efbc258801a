package rooms

import "context"

// Phone is a phone in a room. Close it.
type Phone struct {
	*end
	room, id string
}

// Enter brings a phone into a room.
func (r *Rooms) Enter(ctx context.Context, room string) (*Phone, error) {
	b, is := BenchOf(room)
	if !is {
		return nil, ErrNobody
	}
	id, err := r.name()
	if err != nil {
		return nil, err
	}
	e, err := r.newEnd(b, Count{Phones: 1})
	if err != nil {
		return nil, err
	}
	p := &Phone{end: e, room: room, id: id}
	stop, err := r.answer(phoneAddress(id), p.do, "")
	if err != nil {
		e.finish(Left)
		return nil, err
	}
	e.mutex.Lock()
	e.stop = stop
	e.mutex.Unlock()
	if _, err := r.ask(ctx, b.address(), question{Do: "enter", Room: room, Phone: id}); err != nil {
		e.finish(Left)
		return nil, err
	}
	return p, nil
}

// ID is a secret that the phone shares with its bench: by it the phone speaks.
func (p *Phone) ID() string { return p.id }

// do is what the bench's process wants of the phone.
func (p *Phone) do(q question) error {
	if !same(p.bench.address(), q.Room) {
		return ErrNobody
	}
	switch q.Do {
	case "still":
		return nil
	case "cut":
		go p.close(Away) // it stops answering, which waits until this is answered
		return nil
	}
	err := p.put(Event{Kind: "texts", Texts: q.Texts})
	if err != nil { // who cannot keep up begins anew
		go p.close(Away)
	}
	return err
}

// Close lets the phone leave. Its bench is told.
func (p *Phone) Close() { p.close(Left) }

func (p *Phone) close(why string) {
	if p.finish(why) {
		// A bench that is not there needs no telling.
		_, _ = p.of.ask(context.Background(), p.bench.address(), question{Do: "leave", Room: p.room, Phone: p.id})
	}
}
