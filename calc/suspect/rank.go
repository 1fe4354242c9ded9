package suspect

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
)

// Seen is what is known of a fault.
type Seen struct {
	Dead, Works []string // places of devices
	Hot         bool     // only when hot
	Moving      bool     // only in corners, on bumps, when the engine rocks
	Wet         bool     // only in the wet
	At          []string // places where moving the loom makes it come or go
	Answers     []Answer
}

// Answer is what a measurement showed: the number of one of its answers.
type Answer struct {
	Measure string // its key
	Shows   int
}

// Candidate is one fault that would explain it.
type Candidate struct {
	What   string
	Kind   Kind
	Short  bool
	Ref    harness.Ref // what it is on
	Also   []harness.Ref
	Place  string
	Share  float64 // of all that is thought of, 0 to 1
	Out    string  // the measurement that rules it out; empty while it is in
	second string
}

// Group is faults that what is ticked cannot tell apart.
type Group struct {
	All      []Candidate // the likeliest first
	Share    float64
	Explains []string // dead devices that it explains
	Misses   []string // dead devices that it does not
	Spares   []string // devices that work and would not
	Left     int      // candidates that no measurement rules out
	Double   bool     // two faults at once
}

// Verdict is what follows.
type Verdict struct {
	Groups []Group // the likeliest first
	Left   []Candidate
	Next   *Measure // nil when nothing would split what is left
	Double bool     // no single fault explains it
	Gains  float64  // bits that the next one brings
}

// Source: our choice: one tick in three hundred is wrong, one measurement in fifty is misread; what comes and goes with
// heat, movement or water is four times as likely where there is that, and six times where moving the loom changes it.
const (
	wrongTick   = 0.003
	misread     = 0.02
	placeFactor = 4
	wiggled     = 6
	still       = 0.025 // of the likeliest: what is less likely than this is not thought of any more
	doubles     = 0.01  // two faults at once, against one
)

// Devices returns the places that can be ticked, in their order.
func (m *Model) Devices() (places []string) {
	for i := range m.devices {
		places = append(places, m.devices[i].place)
	}
	return places
}

// cand is a hypothesis, or two at once, being weighed.
type cand struct {
	h      [2]int // in hopes; the second is -1 for none
	weight float64
	sign   string // what of the ticked it kills
	state  *state
	out    int // measurement that rules it out, -1
}

// Judge weighs every fault against what is seen. Nothing is judged where nothing is ticked dead. Cost: a spread of each
// fault that is still thought of, and each of their measurements.
func (m *Model) Judge(seen Seen) Verdict {
	var v Verdict
	tick := make([]int, len(m.devices)) // 1 dead, 2 works
	for _, id := range seen.Works {
		if i, ok := m.seen[id]; ok {
			tick[i] = 2
		}
	}
	dead := 0
	for _, id := range seen.Dead {
		if i, ok := m.seen[id]; ok {
			tick[i] = 1
			dead++
		}
	}
	if dead == 0 {
		return v
	}
	var all []cand
	best := 0
	for i := range m.hopes {
		h := &m.hopes[i]
		wrong, explains := 0, 0
		for d, t := range tick {
			if t != 0 && h.dead[d] != (t == 1) {
				wrong++
			} else if t == 1 {
				explains++
			}
		}
		if explains > 0 {
			all = append(all, cand{h: [2]int{i, -1}, weight: h.prior * m.placed(h, seen) * math.Pow(wrongTick, float64(wrong)), sign: sign(h.dead, nil, tick)})
			if wrong == 0 {
				best++
			}
		}
	}
	if best == 0 {
		all = append(all, m.pairs2(tick, seen)...)
		v.Double = true
	}
	m.weigh(all, seen.Answers)
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(x, y int) int {
		if all[x].weight != all[y].weight {
			if all[x].weight > all[y].weight {
				return -1
			}
			return 1
		}
		return x - y
	})
	total, top := 0.0, 0.0
	for i := range all {
		total += all[i].weight
		top = max(top, all[i].weight)
	}
	if total <= 0 {
		return v
	}
	var left []int
	where := map[string]int{}
	for _, i := range order {
		c := &all[i]
		g, ok := where[c.sign]
		if !ok {
			g = len(v.Groups)
			where[c.sign] = g
			v.Groups = append(v.Groups, m.group2(c, tick))
		}
		x := m.candidate(c, total)
		if c.out >= 0 {
			x.Out = seen.Answers[c.out].Measure
		}
		if c.weight < still*top && x.Out == "" && len(v.Groups[g].All) > mostTold {
			continue
		}
		v.Groups[g].Share += x.Share
		v.Groups[g].All = append(v.Groups[g].All, x)
		if c.weight >= still*top && c.out < 0 {
			left = append(left, i)
			v.Left = append(v.Left, x)
			v.Groups[g].Left++
		}
	}
	sorting.By(v.Groups, func(x, y Group) int {
		switch {
		case x.Share > y.Share:
			return -1
		case x.Share < y.Share:
			return 1
		}
		return 0
	})
	if len(left) == 0 { // all was ruled out: a measurement was misread, so the likeliest stay
		for _, i := range order[:min(len(order), 3)] {
			v.Left = append(v.Left, m.candidate(&all[i], total))
		}
		return v
	}
	if len(left) > 1 {
		m.next(&v, all, left, seen.Answers)
	}
	return v
}

// mostTold is how many unlikely candidates of a group are kept to be shown.
const mostTold = 40

// placed is how much more likely a fault is by where it lies.
func (m *Model) placed(h *hypothesis, seen Seen) float64 {
	var hot, moves, wet, at bool
	look := func(p *piece) {
		hot, moves, wet = hot || p.hot, moves || p.moves, wet || p.wet
		for _, id := range seen.At {
			at = at || slices.Contains(p.at, id)
		}
	}
	if h.piece >= 0 {
		look(&m.pieces[h.piece])
	} else {
		for i := range m.edges {
			if e := &m.edges[i]; m.pieces[e.piece].kind == Wire && m.netOf[e.a] == h.short {
				look(&m.pieces[e.piece])
			}
		}
	}
	f := 1.0
	if seen.Hot && hot || seen.Moving && moves || seen.Wet && wet {
		f *= placeFactor
	}
	if at {
		f *= wiggled
	}
	return f
}

// sign is which of the ticked devices faults kill.
func sign(a, b []bool, tick []int) string {
	s := make([]byte, len(tick))
	for d, t := range tick {
		s[d] = '.'
		if t != 0 && (a[d] || b != nil && b[d]) {
			s[d] = '#'
		}
	}
	return string(s)
}

// weigh lowers what measurements speak against.
func (m *Model) weigh(all []cand, answers []Answer) {
	for i := range all {
		all[i].out = -1
		if len(answers) == 0 {
			continue
		}
		for k, a := range answers {
			x := m.measure(a.Measure)
			if x == nil {
				continue
			}
			if m.answer(m.stateOf(&all[i]), x) != a.Shows {
				all[i].weight *= misread
				if all[i].out < 0 {
					all[i].out = k
				}
			}
		}
	}
}

func (m *Model) stateOf(c *cand) *state {
	if c.state == nil {
		c.state = m.run(m.faults(c)...)
	}
	return c.state
}

func (m *Model) faults(c *cand) []hypothesis {
	f := []hypothesis{m.hopes[c.h[0]]}
	if c.h[1] >= 0 {
		f = append(f, m.hopes[c.h[1]])
	}
	return f
}

func (m *Model) measure(key string) *Measure {
	for i := range m.measures {
		if m.measures[i].Key == key {
			return &m.measures[i]
		}
	}
	return nil
}

// Measure returns a measurement by its key.
func (m *Model) Measure(key string) (Measure, bool) {
	if x := m.measure(key); x != nil {
		return *x, true
	}
	return Measure{}, false
}

func (m *Model) candidate(c *cand, total float64) Candidate {
	h := &m.hopes[c.h[0]]
	x := Candidate{What: h.name, Share: c.weight / total}
	if h.piece >= 0 {
		p := &m.pieces[h.piece]
		x.Kind, x.Ref, x.Place = p.kind, p.ref, p.place
	} else {
		x.Short, x.Kind = true, Wire
		x.Also, _ = m.wiresOf(h.short)
		x.Ref, x.Also = x.Also[0], x.Also[1:]
	}
	if c.h[1] >= 0 {
		x.What += ", and " + m.hopes[c.h[1]].name
	}
	return x
}

func (m *Model) group2(c *cand, tick []int) Group {
	g := Group{Double: c.h[1] >= 0}
	for d, t := range tick {
		place := m.devices[d].place
		switch hit := c.sign[d] == '#'; {
		case t == 1 && hit:
			g.Explains = append(g.Explains, place)
		case t == 1:
			g.Misses = append(g.Misses, place)
		case t == 2 && hit:
			g.Spares = append(g.Spares, place)
		}
	}
	return g
}

// Why says in words why a group is in or out.
func (g Group) Why(name func(place string) string) string {
	list := func(ids []string) string {
		var names []string
		for _, id := range ids {
			names = append(names, name(id))
		}
		if len(names) > 4 {
			names = append(names[:3], strconv.Itoa(len(names)-3)+" more")
		}
		return strings.Join(names, ", ")
	}
	s := "Explains " + list(g.Explains) + "."
	if len(g.Misses) > 0 {
		s += " It does not explain " + list(g.Misses) + "."
	}
	if len(g.Spares) > 0 {
		s += " But then these would be dead too, and they work: " + list(g.Spares) + "."
	}
	return s
}
