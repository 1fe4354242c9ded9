package circuit

import (
	"slices"

	"loomwright/calc/harness"
)

// Way is a part of a panel with what it takes and gives.
type Way struct {
	Part  harness.Part
	Fed   string            // what feeds it: the name of a part or a terminal; empty is unknown
	Feeds []string          // what it feeds: the names of terminals and parts
	Amps  Range             // what that draws, as far as it is known
	Blank int               // of what it feeds, how many draw nobody knows what
	Spare bool              // nothing is joined to it, and no circuit names it
	Inner []harness.Wire    // wires inside the panel that end at it
	Out   []harness.Circuit // the circuits it feeds
}

// Panel is the parts of a panel.
type Panel struct {
	Ways   []Way                    // in the order of the records
	Spare  map[harness.PartKind]int // spare ways by kind
	Inner  []harness.Wire           // wires with both ends in the panel
	Leads  []harness.Wire           // supplied leads that end at it
	Added  []harness.Wire           // other wires that leave it
	Placed int                      // parts that have a position in the grid
	Free   int                      // positions of the grid that no part has; 0 where the panel is free
}

// Panel returns what is in a panel, what feeds what, and which ways are spare.
func (n *Net) Panel(place string) Panel {
	p := Panel{Spare: map[harness.PartKind]int{}}
	at, _ := n.b.Places.Get(place)
	wires := n.b.Wires.All()
	for i := range wires {
		w := wires[i]
		from, _ := n.b.EndPlace(w.From)
		to, _ := n.b.EndPlace(w.To)
		switch {
		case from == place && to == place:
			p.Inner = append(p.Inner, w)
		case from != place && to != place:
		case w.Lead != "":
			p.Leads = append(p.Leads, w)
		default:
			p.Added = append(p.Added, w)
		}
	}
	taken := map[[2]int]bool{}
	feeds := n.fed()
	parts := n.b.Parts.All()
	for i := range parts {
		if parts[i].Place != place {
			continue
		}
		w := n.way(parts[i], feeds)
		for _, inner := range p.Inner {
			if n.endsAt(inner, w.Part.ID) {
				w.Inner = append(w.Inner, inner)
			}
		}
		if w.Spare {
			p.Spare[w.Part.Kind]++
		}
		if r, c := w.Part.Row, w.Part.Column; r > 0 && c > 0 {
			p.Placed++
			if r <= at.Rows && c <= at.Columns {
				taken[[2]int{r, c}] = true
			}
		}
		p.Ways = append(p.Ways, w)
	}
	if at.Rows > 0 && at.Columns > 0 && at.Rows <= harness.GridLimit && at.Columns <= harness.GridLimit {
		p.Free = at.Rows*at.Columns - len(taken)
	}
	return p
}

// fed returns the circuits by the last part that feeds them.
func (n *Net) fed() map[string][]harness.Circuit {
	m := map[string][]harness.Circuit{}
	circuits := n.b.Circuits.All()
	for i := range circuits {
		if f := circuits[i].Feed; len(f) > 0 {
			m[f[len(f)-1]] = append(m[f[len(f)-1]], circuits[i])
		}
	}
	return m
}

func (n *Net) endsAt(w harness.Wire, part string) bool {
	for _, e := range [2]harness.End{w.From, w.To} {
		if t, ok := n.b.Terminals.Get(e.Terminal); ok && t.Part == part {
			return true
		}
	}
	return false
}

// way says what feeds a part and what it feeds. What it feeds is what wires join to its outputs, or where there are none
// yet, what the circuits that name it end at.
func (n *Net) way(part harness.Part, feeds map[string][]harness.Circuit) Way {
	w := Way{Part: part, Out: feeds[part.ID], Spare: len(feeds[part.ID]) == 0}
	if bar, ok := n.b.Parts.Get(part.Feed); ok {
		w.Fed = bar.Name
	}
	told := map[string]bool{}
	for _, t := range n.of[part.ID] {
		if len(n.wired()[t.ID]) > 0 || t.Circuit != "" && (outOf(t) || n.takesSeveral(t)) {
			w.Spare = false
		}
		in := intoPart(t)
		if !in && !outOf(t) {
			continue
		}
		for _, other := range n.partners(t) {
			if in && w.Fed == "" {
				w.Fed = n.Name(other)
			}
			if in || told[other.ID] {
				continue
			}
			told[other.ID] = true
			w.Feeds = append(w.Feeds, n.Name(other))
			amps := n.draws(other)
			if !amps.Known() {
				w.Blank++
			}
			w.Amps.Low += amps.Low
			w.Amps.High += amps.High
		}
	}
	for _, other := range n.b.Parts.All() {
		if other.Feed == part.ID {
			w.Feeds, w.Spare = append(w.Feeds, other.Name), false
			w.Blank++
		}
	}
	return w
}

// partners returns the other terminals that a terminal is joined to, or that its circuit joins it to.
func (n *Net) partners(t harness.Terminal) (all []harness.Terminal) {
	for _, end := range n.ends[t.Circuit] {
		if end.ID != t.ID && t.Circuit != "" {
			all = append(all, end)
		}
	}
	if len(n.wired()[t.ID]) == 0 {
		return all
	}
	seen := map[string]bool{t.ID: true}
	queue := []string{t.ID}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		for _, w := range n.wired()[at] {
			for _, far := range [2]string{node(w.From), node(w.To)} {
				if far == "" || seen[far] {
					continue
				}
				seen[far] = true
				queue = append(queue, far)
				if other, ok := n.b.Terminals.Get(far); ok && !slices.ContainsFunc(all, func(x harness.Terminal) bool { return x.ID == far }) {
					all = append(all, other)
				}
			}
		}
	}
	return all
}

// draws returns what a device takes through a terminal, as the device says, or as is typical of its kind. It is not known
// for what is neither a device's supply nor a relay's coil.
func (n *Net) draws(t harness.Terminal) Range {
	if part, ok := n.b.Parts.Get(t.Part); ok {
		if part.Kind == harness.Relay && (t.Name == "86" || t.Name == "85") {
			return RelayCoilAmps
		}
		return Range{}
	}
	p, _ := n.b.Places.Get(t.Place)
	if n.signal(t) != harness.SupplyIn {
		return Range{}
	}
	if p.Amps != nil {
		return Range{*p.Amps, *p.Amps}
	}
	d, _ := DeviceOf(p.Device)
	return d.Amps
}

// Load returns what a circuit draws: as it says itself, else the sum of what its devices draw, and how many of its ends
// draw nobody knows what. Cost: linear in the ends.
func (n *Net) Load(c harness.Circuit) (amps Range, unknown int) {
	if c.Amps != nil {
		return Range{*c.Amps, *c.Amps}, 0
	}
	for _, t := range n.ends[c.ID] {
		if n.signal(t) != harness.SupplyIn || n.hasPartOutput(t) {
			continue
		}
		if a := n.draws(t); a.Known() {
			amps.Low += a.Low
			amps.High += a.High
		} else {
			unknown++
		}
	}
	return amps, unknown
}

func (n *Net) hasPartOutput(t harness.Terminal) bool {
	_, ok := n.b.Parts.Get(t.Part)
	return ok && outOf(t)
}
