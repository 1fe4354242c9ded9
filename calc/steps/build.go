package steps

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"loomwright/calc/bundle"
	"loomwright/calc/circuit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
	"loomwright/calc/sorting"
	"loomwright/calc/supply"
	"loomwright/calc/tag"
)

// maker makes the steps of a build.
type maker struct {
	supply.Facts
	b      *harness.Build
	net    *circuit.Net
	length func(harness.Wire) cut.Result
	all    []Step
	ticks  map[string]harness.Tick // by step

	places []string       // from the controller outward
	rank   map[string]int // of a place
	runs   []harness.Run  // in the order they are laid
	wires  []harness.Wire // in the order of the records

	carries map[string]int // by run: how many wires pass it
	sizes   []bundle.Stock // of covers
}

// Build returns the steps of a build in their order, with what is done. length may be nil, as for cut.CutList. Cost: linear in
// wires and runs, and length for each wire.
func Build(f supply.Facts, length func(harness.Wire) cut.Result) []Step {
	b := f.Build
	if length == nil {
		length = func(w harness.Wire) cut.Result { return cut.Length(b, f.Graph, w) }
	}
	m := &maker{Facts: f, b: b, net: circuit.NewNet(b), length: length, ticks: map[string]harness.Tick{}, sizes: loom.Stock(b)}
	for _, t := range b.Ticks.All() {
		m.ticks[t.Step] = t
	}
	m.carries = map[string]int{}
	for run, wires := range f.Graph.PerRun() {
		m.carries[run] = len(wires)
	}
	m.outward()
	m.pins()
	m.panels()
	m.bench()
	m.closing()
	m.car()
	m.ends()
	m.last()
	return m.all
}

// add adds a step, done if a record says so or its tick does.
func (m *maker) add(s Step, key ...string) {
	s.ID = strings.Join(key, " ")
	if t, ok := m.ticks[s.ID]; ok && !s.Done {
		switch {
		case s.Does == PullSample: // only what was pulled counts
		case t.What == s.Says():
			s.Done, s.At = true, t.At
		default:
			s.Was = t.What
		}
	}
	m.all = append(m.all, s)
}

// outward puts places and runs in the order in which a loom is laid up: from the controller, the nearest first.
func (m *maker) outward() {
	m.rank = map[string]int{}
	runs := m.b.Runs.All()
	seen := make([]bool, len(runs))
	reach := func(place string) {
		if _, had := m.rank[place]; had {
			return
		}
		m.rank[place] = len(m.places)
		m.places = append(m.places, place)
	}
	walk := func(from int) {
		for i := from; i < len(m.places); i++ {
			for n := range runs {
				far, ok := runs[n].OtherEnd(m.places[i])
				if !ok || seen[n] {
					continue
				}
				seen[n] = true
				m.runs = append(m.runs, runs[n])
				reach(far)
			}
		}
	}
	places := m.b.Places.All()
	for _, first := range [2]bool{true, false} {
		for i := range places {
			if first == (places[i].Kind == harness.Controller) {
				from := len(m.places)
				reach(places[i].ID)
				walk(from)
			}
		}
	}
	m.wires = slices.Clone(m.b.Wires.All())
}

func (m *maker) name(place string) string {
	p, ok := m.b.Places.Any(place)
	if !ok {
		return "a place not chosen"
	}
	return cmp.Or(p.Name, string(p.Kind))
}

func (m *maker) end(e harness.End) string { return cmp.Or(tag.EndName(m.b, e), "an end not chosen") }

// pins are the controller's connector: opened, cleared, closed and checked.
func (m *maker) pins() {
	m.add(Step{Phase: Safe, Big: "Battery off", What: "Take the negative cable off first and tie it aside", Caution: batteryCaution}, "safe battery")
	removal := m.net.Removal()
	locks := m.locks()
	if len(removal) > 0 {
		for _, c := range locks {
			m.add(Step{Phase: Unlock, Big: c.name, What: "Open the lock of the connector", Place: c.place}, "unlock", c.place, c.connector)
		}
		for _, p := range removal {
			s := Step{Phase: Pull, Big: p.Cavity, What: p.Do, Detail: p.Lead.Does(), Place: p.Terminal.Place, Does: PullsLead, Of: p.Lead.ID, Done: p.Done}
			if p.Lead.Acted != nil && p.Done {
				s.At = p.Lead.Acted.At
			}
			m.add(s, "pull", p.Lead.ID)
		}
		for _, c := range locks {
			m.add(Step{Phase: Lock, Big: c.name, What: "Close the lock: it goes home only over pins that sit", Place: c.place}, "lock", c.place, c.connector)
		}
	}
	for _, p := range m.net.Seating() {
		m.add(Step{Phase: Seat, Big: p.Cavity, What: p.Do, Detail: p.Lead.Does(), Place: p.Terminal.Place, Does: SeatsLead, Of: p.Lead.ID,
			Done: p.Done, At: p.Lead.Seated}, "seat", p.Lead.ID)
	}
}

// lock is a connector of a controller.
type lock struct{ name, place, connector string }

func (m *maker) locks() (all []lock) {
	seen := map[string]bool{}
	leads := m.b.Leads.All()
	for i := range leads {
		t, ok := m.b.Terminals.Get(leads[i].Terminal)
		key := t.Place + " " + t.Connector
		if !ok || seen[key] {
			continue
		}
		seen[key] = true
		all = append(all, lock{strings.TrimSpace(m.name(t.Place) + " " + t.Connector), t.Place, t.Connector})
	}
	sorting.By(all, func(x, y lock) int {
		return cmp.Or(cmp.Compare(m.rank[x.place], m.rank[y.place]), cmp.Compare(x.connector, y.connector))
	})
	return all
}

// panels are built and proven before anything of the car hangs on them; then the controller is mounted as in the car.
func (m *maker) panels() {
	for _, place := range m.places {
		p, _ := m.b.Places.Get(place)
		if p.Kind != harness.Panel {
			continue
		}
		panel := m.net.Panel(place)
		if len(panel.Ways) == 0 {
			continue
		}
		m.add(Step{Phase: Panel, Big: p.Name, What: "Put its " + number(len(panel.Ways), "part", "parts") + " in place", Place: place}, "parts", place)
		for _, w := range panel.Inner {
			m.add(Step{Phase: Panel, Big: w.Name, What: "Join " + m.end(w.From) + " and " + m.end(w.To), Detail: m.conductor(w), Place: place}, "inner", w.ID)
		}
		m.add(Step{Phase: Panel, Big: p.Name, What: "Prove it alone: every fuse in turn, every relay, nothing where nothing belongs", Caution: panelCaution, Place: place}, "proven", place)
	}
	for _, place := range m.places {
		if p, _ := m.b.Places.Get(place); p.Kind == harness.Controller {
			m.add(Step{Phase: Mount, Big: m.name(place), What: "Mount it on the bench as it will be in the car, the panel with it if it is beside it", Place: place}, "mount", place)
		}
	}
}

func number(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// conductor is the size and colour letters of a wire.
func (m *maker) conductor(w harness.Wire) string {
	size, colour := tag.Conductor(m.b, w)
	return cmp.Or(size, "size unknown") + ", " + cmp.Or(colour, "colour unknown")
}

// lead reports whether a wire is made of a lead that is there.
func (m *maker) lead(w harness.Wire) (harness.Lead, bool) { return m.b.Leads.Get(w.Lead) }

func (m *maker) cavity(l harness.Lead) string {
	t, _ := m.b.Terminals.Get(l.Terminal)
	return cmp.Or(circuit.Cavity(t), l.Legend)
}

// inner reports whether a wire stays at one place.
func (m *maker) inner(w harness.Wire) bool {
	from, _ := m.b.EndPlace(w.From)
	to, _ := m.b.EndPlace(w.To)
	return from == to && from != ""
}

// branch is where a wire leaves the rest.
func (m *maker) branch(w harness.Wire) string {
	path := m.length(w).Path.Places
	for i := len(path) - 2; i > 0; i-- {
		switch p, _ := m.b.Places.Get(path[i]); p.Kind {
		case harness.Split, harness.PassThrough, harness.Panel:
			return p.ID
		}
	}
	if len(path) > 0 {
		return path[len(path)-1]
	}
	return ""
}
