package harness

import "loomwright/calc/unit"

// This file has the records that making adds: wire on hand, the steps that are done, and the samples of crimps.

// Stock is wire on hand: a spool, an offcut, or a removed lead that is cut up. Of a length that can be bought, Sold is set.
type Stock struct {
	Record
	Size       string      `json:"size,omitzero"` // see unit.ParseSize
	Base       string      `json:"base,omitzero"`
	Tracer     string      `json:"tracer,omitzero"`
	Insulation Insulation  `json:"insulation,omitzero"` // empty is not known
	Length     unit.Length `json:"length,omitzero"`     // of each; 0 is not known, and nothing is planned from it
	Count      int         `json:"count,omitzero"`      // how many of that length; 0 is one
	Spool      bool        `json:"spool,omitzero"`      // on a spool; else an offcut
	Sold       bool        `json:"sold,omitzero"`       // not on hand: a length it is sold in; no size or no colour is any
	Lead       string      `json:"lead,omitzero"`       // the removed lead it was
	Order      float64     `json:"order,omitzero"`
	Note       string      `json:"note,omitzero"`
}

// Pieces returns how many there are.
func (s Stock) Pieces() int { return max(s.Count, 1) }

// Tick is a step of the work that was done. Its id is made of the step's, see TickID.
type Tick struct {
	Record
	Step string `json:"step,omitzero"` // the step's id, see package steps
	What string `json:"what,omitzero"` // what was done, as the step said it then: a step that says another thing now is not done
	At   string `json:"at,omitzero"`   // RFC 3339, the phone's time, only for show
	Who  string `json:"who,omitzero"`
}

// TickID returns the id of the tick of a step, so that two phones that tick one step make one record.
func TickID(step string) string { return ProposedID(KindTick, step) }

// Sample is a crimp on a scrap of wire that was pulled until it gave way, or to a force that it held.
type Sample struct {
	Record
	Terminal string   `json:"terminal,omitzero"` // what the terminal is called: "2.8 mm blade"
	Size     string   `json:"size,omitzero"`     // of the wire, see unit.ParseSize
	Tool     string   `json:"tool,omitzero"`     // the crimp tool, and its die
	Newtons  *float64 `json:"newtons,omitzero"`  // what it held; nil is not measured
	Limit    *float64 `json:"limit,omitzero"`    // newtons that it must hold; nil is not known
	By       string   `json:"by,omitzero"`       // the standard that the limit is from
	At       string   `json:"at,omitzero"`       // RFC 3339, the phone's time, only for show
	Note     string   `json:"note,omitzero"`
}

// Good reports whether a sample held what it must; one without a known limit counts by what was measured alone.
func (s Sample) Good() bool {
	return s.Newtons != nil && *s.Newtons > 0 && (s.Limit == nil || *s.Newtons >= *s.Limit)
}

func (s *Stock) place() float64 { return s.Order }
