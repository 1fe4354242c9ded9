package session

import (
	"fmt"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// Accept puts records as one edit, and makes a tag for each end of every wire that is new. Of several records with one id
// the last counts.
func (s *Session) Accept(all ...circuit.Records) error {
	b := s.B()
	if b == nil {
		return s.Do()
	}
	a := accepting{at: map[string]int{}}
	var codes []string
	for i := range all {
		r := &all[i]
		accept(&a, harness.KindPlace, &b.Places, r.Places)
		accept(&a, harness.KindLoom, &b.Looms, r.Looms)
		accept(&a, harness.KindConnector, &b.Connectors, r.Connectors)
		accept(&a, harness.KindPart, &b.Parts, r.Parts)
		accept(&a, harness.KindCircuit, &b.Circuits, r.Circuits)
		accept(&a, harness.KindTerminal, &b.Terminals, r.Terminals)
		accept(&a, harness.KindLead, &b.Leads, r.Leads)
		accept(&a, harness.KindJoint, &b.Joints, r.Joints)
		accept(&a, harness.KindWire, &b.Wires, r.Wires)
		for _, w := range r.Wires {
			if _, had := b.Wires.Any(w.ID); had {
				continue
			}
			for _, end := range []harness.TagEnd{harness.FromEnd, harness.ToEnd} {
				code, err := s.FreshCode(codes...)
				if err != nil {
					return err
				}
				codes = append(codes, code)
				a.add(storage.Put(harness.KindTag, s.FreshID(), harness.Tag{}, harness.Tag{Code: code, On: harness.KindWire, Subject: w.ID, End: end}))
			}
		}
	}
	if len(a.changes) == 0 {
		return nil
	}
	return s.Do(a.changes...)
}

// Apply makes the records of a one-tap mend in one edit. A wire counts as edited from then on: proposals leave it alone.
func (s *Session) Apply(all []harness.Put) error {
	b := s.B()
	var changes []storage.Change
	for _, p := range all {
		switch r := p.Record.(type) {
		case harness.Settings:
			changes = append(changes, storage.Put(p.Kind, p.ID, b.Settings, r))
		case harness.Place:
			changes = append(changes, mended(p, &b.Places, r))
		case harness.Run:
			changes = append(changes, mended(p, &b.Runs, r))
		case harness.Loom:
			changes = append(changes, mended(p, &b.Looms, r))
		case harness.Terminal:
			changes = append(changes, mended(p, &b.Terminals, r))
		case harness.Lead:
			changes = append(changes, mended(p, &b.Leads, r))
		case harness.Wire:
			r.Edited = true
			changes = append(changes, mended(p, &b.Wires, r))
		case harness.Joint:
			r.Edited = true
			changes = append(changes, mended(p, &b.Joints, r))
		case harness.Connector:
			changes = append(changes, mended(p, &b.Connectors, r))
		case harness.Part:
			changes = append(changes, mended(p, &b.Parts, r))
		case harness.Tap:
			changes = append(changes, mended(p, &b.Taps, r))
		case harness.Circuit:
			changes = append(changes, mended(p, &b.Circuits, r))
		default:
			return fmt.Errorf("session: mend %s %q: a record of type %T", p.Kind, p.ID, p.Record)
		}
	}
	return s.Do(changes...)
}

func mended[T any](p harness.Put, all *harness.Table[T], record T) storage.Change {
	old, _ := all.Any(p.ID)
	return storage.Put(p.Kind, p.ID, old, record)
}

// accepting collects the changes of one edit, one for each record.
type accepting struct {
	changes []storage.Change
	at      map[string]int // in changes, by kind and id
}

func (a *accepting) add(c storage.Change) {
	key := string(c.Kind) + " " + c.ID
	i, had := a.at[key]
	switch {
	case had:
		a.changes[i] = c
	case len(c.Set) > 0:
		a.at[key] = len(a.changes)
		a.changes = append(a.changes, c)
	}
}

func accept[T any, P interface {
	*T
	Identity() string
}](a *accepting, kind harness.Kind, old *harness.Table[T], records []T) {
	for i := range records {
		id := P(&records[i]).Identity()
		was, _ := old.Any(id)
		a.add(storage.Put(kind, id, was, records[i]))
	}
}
