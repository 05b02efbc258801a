package bench

import "context"

// EndNames takes the texts about people out of what lies beside a game. Nobody asked for
// one of them to go, so no entry says it: lines, chain and seals stay as they are, and
// whoever else has the names is not told to drop them. What stands inside lines of version
// 1 stays.
func (b *Bench) EndNames(ctx context.Context, id string) error {
	g, err := b.game(ctx, id)
	if err != nil {
		return err
	}
	_, err = ask(ctx, g, func() (struct{}, error) {
		if err := g.ready(); err != nil {
			return struct{}{}, err
		}
		log, can := g.bench.ledgers.(Forgets)
		if !can {
			return struct{}{}, problem(Faulty, nil, "bench.faulty")
		}
		var texts []string
		for _, e := range g.ledger {
			for _, one := range e.Apart {
				if one.Random != "" {
					texts = append(texts, one.Commitment)
				}
			}
		}
		if len(texts) == 0 {
			return struct{}{}, nil
		}
		g.loaded = false
		if err := log.Forget(context.Background(), g.id, texts, nil, nil); err != nil {
			g.bench.logger.Error("end the names of a game", "game", g.id, "error", err)
			return struct{}{}, problem(Unavailable, err, "bench.not_kept")
		}
		return struct{}{}, g.load()
	})
	return err
}
