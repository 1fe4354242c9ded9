package circuit

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
)

// Pin is a lead in its cavity, as a list shows it.
type Pin struct {
	Lead     harness.Lead
	Terminal harness.Terminal
	Cavity   string // "A14"
	Shared   []harness.Lead
	Do       string // what to do with it, as a person says it
	Ends     string // where it ends: "Terminal strip 3", "capped at Controller split"
	Done     bool
}

// SharedWords is what is done to a lead that shares its cavity with one that stays. Source: common practice.
const SharedWords = "free the terminal, shorten the unwanted core at it, insulate, re-seat"

// pins returns the leads that match, in the order of their cavities: by connector, then by number, then by name.
func (n *Net) pins(match func(harness.Lead) bool) []Pin {
	var all []Pin
	leads := n.b.Leads.All()
	for i := range leads {
		if match(leads[i]) {
			all = append(all, n.pin(leads[i]))
		}
	}
	sorting.By(all, func(x, y Pin) int { return compareCavities(x.Terminal, y.Terminal) })
	return all
}

func (n *Net) pin(l harness.Lead) Pin {
	t, _ := n.b.Terminals.Get(l.Terminal)
	p := Pin{Lead: l, Terminal: t, Cavity: Cavity(t), Done: l.Done()}
	for _, other := range n.double[l.Terminal] {
		if other.ID != l.ID {
			p.Shared = append(p.Shared, other)
		}
	}
	return p
}

// compareCavities puts terminals in the order in which a person goes along a connector.
func compareCavities(x, y harness.Terminal) int {
	if c := cmp.Or(cmp.Compare(x.Place, y.Place), cmp.Compare(x.Connector, y.Connector)); c != 0 {
		return c
	}
	a, errA := strconv.Atoi(x.Name)
	b, errB := strconv.Atoi(y.Name)
	switch {
	case errA == nil && errB == nil && a != b:
		return cmp.Compare(a, b)
	case (errA == nil) != (errB == nil): // numbers first
		if errA == nil {
			return -1
		}
		return 1
	}
	return cmp.Or(strings.Compare(x.Name, y.Name), cmp.Compare(x.Order, y.Order), strings.Compare(x.ID, y.ID))
}

// Removal returns the leads to be removed, in the order of their cavities, with what to do to each.
func (n *Net) Removal() []Pin {
	all := n.pins(func(l harness.Lead) bool { return l.Decision == harness.Remove })
	for i := range all {
		p := &all[i]
		staying := slices.ContainsFunc(p.Shared, func(l harness.Lead) bool { return l.Decision != harness.Remove })
		switch {
		case staying:
			p.Do = SharedWords
		default:
			p.Do = "free the terminal, pull the lead, into the bag of spares marked " + p.Cavity
			if n.sealed(p.Terminal) {
				p.Do += ", fit a blanking plug"
			}
		}
	}
	return all
}

func (n *Net) sealed(t harness.Terminal) bool {
	for _, c := range n.b.Connectors.All() {
		if c.Place == t.Place && c.Name == t.Connector {
			return c.Sealed
		}
	}
	return false
}

// Seating returns every lead that stays in its cavity, in the order of the cavities: each is pulled lightly and looked at
// once the lock is closed again. Done says that it was.
func (n *Net) Seating() []Pin {
	all := n.pins(func(l harness.Lead) bool { return l.There() && l.Terminal != "" && l.Decision != harness.Remove })
	for i := range all {
		all[i].Do, all[i].Done = "pull lightly: it stays, level with its neighbours", all[i].Lead.Seated != ""
	}
	return all
}

// Kept returns the leads that are kept for later, with where they end; Ends is empty where nobody said.
func (n *Net) Kept() []Pin {
	all := n.pins(func(l harness.Lead) bool { return l.Decision == harness.Keep })
	for i := range all {
		p := &all[i]
		p.Do = "insulate its end, tag it"
		for _, w := range n.wired()[p.Lead.Terminal] {
			if w.Lead != p.Lead.ID {
				continue
			}
			if t, ok := n.b.Terminals.Get(w.To.Terminal); ok {
				p.Ends, p.Do = n.Name(t), "lead it to "+n.Name(t)
			} else if place, ok := n.b.EndPlace(w.To); ok {
				at, _ := n.b.Places.Get(place)
				p.Ends = at.Name
			}
		}
		if at, ok := n.b.Places.Get(p.Lead.Parked); ok && p.Ends == "" {
			p.Ends, p.Do = "capped at "+at.Name, "insulate its end, fold it back at "+at.Name+", tag it"
		}
	}
	return all
}

// Counts is how far the planning of the leads is.
type Counts struct {
	Leads, Use, Keep, Remove, Empty, Undecided int
	Done                                       int // decided and carried out
	ToDo                                       int // decided and not carried out
	Removed                                    int // of Remove: pulled already
}

// Count counts the living leads.
func Count(b *harness.Build) (c Counts) {
	leads := b.Leads.All()
	for i := range leads {
		l := &leads[i]
		c.Leads++
		switch l.Decision {
		case harness.Use:
			c.Use++
		case harness.Keep:
			c.Keep++
		case harness.Remove:
			c.Remove++
		case harness.Empty, harness.NeverFitted:
			c.Empty++
		default:
			c.Undecided++
		}
		switch {
		case l.Done():
			c.Done++
			if l.Decision == harness.Remove {
				c.Removed++
			}
		case l.Decision == harness.Use || l.Decision == harness.Keep || l.Decision == harness.Remove:
			c.ToDo++
		}
	}
	return c
}

// Removable returns the leads that may be proposed for removal: undecided, with nothing that they are for. A supply, a
// power ground, a sensor ground or a shield never is.
func (n *Net) Removable() []Pin {
	return n.pins(func(l harness.Lead) bool {
		t, _ := n.b.Terminals.Get(l.Terminal)
		return l.Decision == harness.Undecided && !l.Signal.Vital() && l.Signal != harness.NoSignal && l.There() && t.Circuit == "" && len(n.wired()[l.Terminal]) == 0
	})
}
