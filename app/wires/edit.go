package wires

import (
	"fmt"
	"slices"
	"strings"

	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// create makes a wire with the next free name, and a tag for each of its ends, in one edit.
func create(s *session.Session, w harness.Wire) (id string, err error) {
	b := s.B()
	w.Record = harness.Record{}
	w.Name, w.Order = b.NextWireName(), lastOrder(b.Wires.All(), func(w harness.Wire) float64 { return w.Order })+1
	id = s.FreshID()
	tags, err := tagChanges(s, id, harness.FromEnd, harness.ToEnd)
	if err != nil {
		return "", err
	}
	return id, s.Do(append([]storage.Change{storage.Put(harness.KindWire, id, harness.Wire{}, w)}, tags...)...)
}

// tagChanges makes tags for ends of a wire.
func tagChanges(s *session.Session, wire string, ends ...harness.TagEnd) ([]storage.Change, error) {
	var changes []storage.Change
	var codes []string
	for _, end := range ends {
		code, err := s.FreshCode(codes...)
		if err != nil {
			return nil, err
		}
		codes = append(codes, code)
		t := harness.Tag{Code: code, On: harness.KindWire, Subject: wire, End: end}
		changes = append(changes, storage.Put(harness.KindTag, s.FreshID(), harness.Tag{}, t))
	}
	return changes, nil
}

// untagged returns the ends of a wire that have no tag.
func untagged(b *harness.Build, wire string) []harness.TagEnd {
	ends := []harness.TagEnd{harness.FromEnd, harness.ToEnd}
	for _, t := range b.Tags.All() {
		if t.On == harness.KindWire && t.Subject == wire && !t.Retired {
			ends = slices.DeleteFunc(ends, func(e harness.TagEnd) bool { return e == t.End })
		}
	}
	return ends
}

// alike is a new wire like another: the same function, size, colours and way. Its terminals are free to choose, as a
// cavity holds one wire, and it is no lead, as a lead is one wire.
func alike(b *harness.Build, w harness.Wire) harness.Wire {
	end := func(e harness.End) harness.End {
		if e.Joint != "" {
			return harness.End{Joint: e.Joint}
		}
		place, _ := b.EndPlace(e)
		return harness.End{Place: place}
	}
	c := colourOf(b, w)
	return harness.Wire{
		Function: w.Function, From: end(w.From), To: end(w.To), Size: sizeOf(b, w), Base: c.Base, Tracer: c.Tracer,
		Looms: slices.Clone(w.Looms), Via: slices.Clone(w.Via), Twist: w.Twist,
	}
}

// sizeOf is the size of a wire as it is kept: its own, or that of the lead it is made of.
func sizeOf(b *harness.Build, w harness.Wire) string {
	if w.Size == "" && w.Lead != "" {
		lead, _ := b.Leads.Any(w.Lead)
		return lead.Size
	}
	return w.Size
}

// change edits some wires in one step and returns how many differ now.
func change(s *session.Session, wires []harness.Wire, f func(w *harness.Wire)) (n int, err error) {
	var changes []storage.Change
	for _, old := range wires {
		now := old
		f(&now)
		if c := storage.Put(harness.KindWire, old.ID, old, now); len(c.Set) > 0 {
			changes = append(changes, storage.Put(harness.KindWire, old.ID, old, touched(now)))
		}
	}
	if len(changes) == 0 {
		return 0, nil
	}
	return len(changes), s.Do(changes...)
}

// touched marks a wire that was proposed as changed by a person: no proposal changes it any more.
func touched(w harness.Wire) harness.Wire {
	w.Edited = w.Edited || w.Source != ""
	return w
}

// remove deletes some wires in one step. Their tags stay: scanned later, they tell that the wire is gone.
func remove(s *session.Session, wires []harness.Wire) error {
	var changes []storage.Change
	for _, w := range wires {
		changes = append(changes, storage.Delete(harness.KindWire, w.ID))
	}
	return s.Do(changes...)
}

// rename gives a wire another name. A name that a wire has or had is refused, with one that is free.
func rename(s *session.Session, w harness.Wire, name string) (refused string, err error) {
	name = strings.Join(strings.Fields(name), " ")
	b := s.B()
	if name == "" {
		return fmt.Sprintf("A wire needs a name to be printed on its tags. %s is free.", b.NextWireName()), nil
	}
	if other, taken := b.WireNamed(name, w.ID); taken {
		word := "is"
		if other.Gone {
			word = "was, until it was deleted,"
		}
		function := other.Function
		if function == "" {
			function = "a wire with no function yet"
		}
		return fmt.Sprintf("%s %s %s. Nothing was changed. %s is free.", other.Name, word, function, b.NextWireName()), nil
	}
	_, err = change(s, []harness.Wire{w}, func(w *harness.Wire) { w.Name = name })
	return "", err
}

// end returns one end of a wire.
func end(w harness.Wire, which harness.TagEnd) harness.End {
	if which == harness.FromEnd {
		return w.From
	}
	return w.To
}

// setEnd puts one end of a wire somewhere else, with other changes that belong to it. A lead sits in the cavity of the
// wire's From end, so it moves with it.
func setEnd(s *session.Session, w harness.Wire, which harness.TagEnd, to harness.End, with ...storage.Change) error {
	now := w
	if which == harness.FromEnd {
		now.From = to
	} else {
		now.To = to
	}
	changes := append(with, storage.Put(harness.KindWire, w.ID, w, touched(now)))
	if lead, ok := s.B().Leads.Get(w.Lead); ok && which == harness.FromEnd && to.Terminal != "" && lead.Terminal != to.Terminal {
		moved := lead
		moved.Terminal = to.Terminal
		changes = append(changes, storage.Put(harness.KindLead, lead.ID, lead, moved))
	}
	return s.Do(changes...)
}

// splitTerminal reads a terminal as it is called at its place: connector and name, apart by a space or a colon, where the
// place has connectors; else the name alone.
func splitTerminal(text string) (connector, name string) {
	text = strings.Join(strings.Fields(strings.ReplaceAll(text, ":", " ")), " ")
	connector, name, ok := strings.Cut(text, " ")
	if !ok {
		return "", text
	}
	return connector, name
}

// terminalNamed returns the terminal of a place that has this name.
func terminalNamed(b *harness.Build, place, connector, name string) (harness.Terminal, bool) {
	fold := harness.FoldName(connector + name)
	for _, t := range b.Terminals.All() {
		if t.Place == place && harness.FoldName(t.Connector+t.Name) == fold {
			return t, true
		}
	}
	return harness.Terminal{}, false
}

// newTerminal returns the change that gives a place one more terminal, and the end at it.
func newTerminal(s *session.Session, place, connector, name string) (harness.End, storage.Change) {
	order := 0.0
	for _, t := range s.B().Terminals.All() {
		if t.Place == place {
			order = max(order, t.Order)
		}
	}
	id := s.FreshID()
	t := harness.Terminal{Place: place, Connector: connector, Name: name, Order: order + 1}
	return harness.End{Place: place, Terminal: id}, storage.Put(harness.KindTerminal, id, harness.Terminal{}, t)
}

// newJoint returns the change that makes a joint at a place, and the end in it.
func newJoint(s *session.Session, place, name string) (harness.End, storage.Change) {
	b := s.B()
	order := lastOrder(b.Joints.All(), func(j harness.Joint) float64 { return j.Order }) + 1
	id := s.FreshID()
	j := harness.Joint{Name: name, Place: place, Order: order}
	return harness.End{Joint: id}, storage.Put(harness.KindJoint, id, harness.Joint{}, j)
}

// nextJoint is the name of a new joint: the one that is typed if no joint has or had it, else the next free "S3".
func nextJoint(b *harness.Build, typed string) string {
	taken := map[string]bool{"": true}
	for _, all := range [2][]harness.Joint{b.Joints.All(), b.Joints.Gone()} {
		for _, j := range all {
			taken[harness.FoldName(j.Name)] = true
		}
	}
	if typed = strings.Join(strings.Fields(typed), " "); !taken[harness.FoldName(typed)] {
		return typed
	}
	for n := 1; ; n++ {
		if name := fmt.Sprintf("S%d", n); !taken[harness.FoldName(name)] {
			return name
		}
	}
}

// lastOrder is the greatest order among records, 0 if there are none.
func lastOrder[T any](all []T, order func(T) float64) float64 {
	last := 0.0
	for _, r := range all {
		last = max(last, order(r))
	}
	return last
}

// makeLead says that a wire is a supplied lead: a spare one, or a new one where spare is empty, which then takes what the
// wire says of itself.
func makeLead(s *session.Session, w harness.Wire, spare string) error {
	b := s.B()
	now := w
	if lead, ok := b.Leads.Get(spare); ok {
		now.Lead = lead.ID
		if t, ok := b.Terminals.Get(lead.Terminal); ok {
			now.From = harness.End{Place: t.Place, Terminal: t.ID}
		}
		return s.Do(storage.Put(harness.KindWire, w.ID, w, touched(now)))
	}
	id := s.FreshID()
	now.Lead = id
	lead := harness.Lead{
		Terminal: w.From.Terminal, Size: w.Size, Base: w.Base, Tracer: w.Tracer,
		Order: lastOrder(b.Leads.All(), func(l harness.Lead) float64 { return l.Order }) + 1,
	}
	return s.Do(storage.Put(harness.KindLead, id, harness.Lead{}, lead), storage.Put(harness.KindWire, w.ID, w, touched(now)))
}

// changeLead edits a lead.
func changeLead(s *session.Session, lead harness.Lead, f func(l *harness.Lead)) error {
	now := lead
	f(&now)
	if c := storage.Put(harness.KindLead, lead.ID, lead, now); len(c.Set) > 0 {
		return s.Do(c)
	}
	return nil
}

// spareLeads are the leads that no wire is made of: first the one in the cavity that the wire starts at.
func spareLeads(b *harness.Build, w harness.Wire) []harness.Lead {
	used := map[string]bool{}
	for _, w := range b.Wires.All() {
		used[w.Lead] = true
	}
	var here, spare []harness.Lead
	for _, l := range b.Leads.All() {
		switch {
		case used[l.ID]:
		case l.Terminal != "" && l.Terminal == w.From.Terminal:
			here = append(here, l)
		default:
			spare = append(spare, l)
		}
	}
	return append(here, spare...)
}

// sizes are the sizes that are offered to tap, thin first. Source: common practice for the wires of an engine loom.
func sizes(sys unit.System) []string {
	if sys == unit.Imperial {
		return []string{"22 AWG", "20 AWG", "18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "2 AWG"}
	}
	return []string{"0.35 mm2", "0.5 mm2", "0.75 mm2", "1.0 mm2", "1.5 mm2", "2.5 mm2", "4.0 mm2", "6.0 mm2", "16 mm2", "25 mm2"}
}

// undelete brings a wire back.
func undelete(s *session.Session, wire string) error {
	return s.Do(storage.Undelete(harness.KindWire, wire))
}
