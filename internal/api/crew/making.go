package crew

import (
	"sync/atomic"

	"whistlestop/internal/api"
)

// making is how far the rota is that is being made.
type making struct {
	rotas atomic.Int32 // that are being made
	part  atomic.Int32 // of the newest, in thousandths
}

// crewMakingJSON is how far the making of a rota is.
type crewMakingJSON struct {
	Making bool `json:"making"`
	Part   int  `json:"part"` // in thousandths
}

// isMaking says how far the making of a rota is. It does not wait for it.
func (s *Service) isMaking(*api.Call) (crewMakingJSON, error) {
	return crewMakingJSON{Making: s.making.rotas.Load() > 0, Part: int(s.making.part.Load())}, nil
}

// begun notes that a rota is being made, and returns what ends it.
func (m *making) begun() func() {
	m.part.Store(0)
	m.rotas.Add(1)
	return func() { m.rotas.Add(-1) }
}

func (m *making) tell(part int) { m.part.Store(int32(part)) }
