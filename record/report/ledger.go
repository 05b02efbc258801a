package report

import (
	"whistlestop/game/entry"
	"whistlestop/record/seal"
)

// ledger fills in what a folded game leaves in its ledger: what was drawn, and
// the fingerprints, which are those of whole entries.
func (d *Document) ledger(ledger []entry.Entry) {
	drawn := map[string]string{}
	for _, e := range ledger {
		for i := range d.Seals {
			if d.Seals[i].Entry == e.ID {
				d.Seals[i].Fingerprint = seal.Fingerprint(e)
			}
		}
		switch body := e.Body.(type) {
		case entry.Signed:
			drawn[e.ID] = body.Drawing
		case entry.Amended:
			if to, ok := body.To.(entry.Signed); ok {
				drawn[e.Of] = to.Drawing
			}
		default: // the other entries say nothing here
		}
	}
	for i := range d.Signatures {
		d.Signatures[i].Drawing = drawn[d.Signatures[i].Entry]
	}
}
