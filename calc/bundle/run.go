package bundle

import "math"

// Wire is one wire as far as its bundles go.
type Wire struct {
	ID       string
	Diameter float64 // mm, over its insulation; 0 is not known
	Twist    string  // wires with the same text here are twisted together
	Sleeve   string  // the sleeve of its own that it lies in, with others; a twisted group lies in that of its first wire
	Leaves   float64 // m, along the way from the controller: where it leaves for good; farther is nearer the core
	Copper   float64 // g/m; 0 is not known
	Mass     float64 // g/m with insulation; 0 is not known
}

// Sleeve holds wires together inside the loom: a shield, a tube, a jacket.
type Sleeve struct {
	ID   string
	Wall float64 // mm
	In   string  // the sleeve it lies in itself, or none
	Mass float64 // g/m; 0 is not known
}

// Run is a stretch of the loom and what passes it.
type Run struct {
	ID     string
	Length float64 // m; 0 is not known
	Wires  []Wire
	Cover  float64 // g/m, of the cover; 0 is none or not known
}

// Packed is what a run comes to.
type Packed struct {
	Run    string
	Bundle Bundle
	Thumb  float64 // mm, the rule of thumb over the same wires, for comparison
	Terms  []Term
}

// Runs packs every run, in the order of runs. A run that holds all the wires of another and more is never the thinner of the
// two. Packings come from the shelf where nothing changed, and so do runs without sleeves.
func Runs(runs []Run, sleeves []Sleeve, shelf *Shelf) ([]Packed, error) {
	shelf.begin()
	if len(sleeves) > 0 {
		shelf.runs = nil // what they are is not compared
	}
	now := make([]laid, len(runs))
	for i, r := range runs {
		if was := shelf.before(i, r); was != nil {
			for _, u := range was.first {
				u.from.turn = shelf.turn
			}
			now[i] = *was
			continue
		}
		shelf.used = []use{}
		b, err := Lay(Parts(r.Wires, sleeves), shelf.Pack)
		if err != nil {
			return nil, err
		}
		now[i] = laid{r, shelf.used, shelf.used, explain(r, b)}
	}
	shelf.agree()
	out := make([]Packed, len(runs))
	for i, r := range runs {
		if !now[i].holds() {
			shelf.used = []use{}
			b, err := Lay(Parts(r.Wires, sleeves), shelf.Pack) // from the shelf
			if err != nil {
				return nil, err
			}
			now[i].used, now[i].packed = shelf.used, explain(r, b)
		}
		for _, u := range now[i].used {
			u.from.turn = shelf.turn
		}
		out[i] = now[i].packed
	}
	shelf.runs, shelf.used = now, nil
	if len(sleeves) > 0 {
		shelf.runs = nil
	}
	return out, nil
}

func explain(r Run, b Bundle) Packed {
	var d []float64
	for _, w := range r.Wires {
		if w.Diameter > 0 && !math.IsInf(w.Diameter, 1) {
			d = append(d, w.Diameter)
		}
	}
	p := Packed{Run: r.ID, Bundle: b, Thumb: Thumb(d)}
	groups := 0
	for _, c := range b.Circles {
		if c.Group {
			groups++
		}
	}
	p.Terms = append(p.Terms, Term{Name: "Wires", Value: float64(len(d)), Reason: "with a known diameter"})
	if n := len(r.Wires) - len(d); n > 0 {
		p.Terms = append(p.Terms, Term{Name: "Unknown", Value: float64(n), Reason: "no diameter known: the bundle is thicker than shown"})
	}
	if groups > 0 {
		p.Terms = append(p.Terms, Term{Name: "Groups", Value: float64(groups), Reason: "twisted or sleeved, packed first", Source: packed})
	}
	p.Terms = append(p.Terms,
		Term{Name: "Bundle", Value: b.Diameter, Unit: "mm", Reason: "the smallest circle found that holds them", Source: packed},
		Term{Name: "Rule of thumb", Value: p.Thumb, Unit: "mm", Reason: "1.2 × √(sum of the diameters squared), for comparison", Source: practice})
	return p
}

// Parts sorts wires into twisted groups and sleeves, each where its first wire is. A sleeve that is not in sleeves has no
// wall; one that lies in itself, by whatever detour, lies in the loom.
func Parts(wires []Wire, sleeves []Sleeve) []Part {
	known := map[string]Sleeve{}
	for _, s := range sleeves {
		known[s.ID] = s
	}
	root := &node{}
	byTwist, bySleeve := map[string]*node{}, map[string]*node{}
	var sleeve func(id string, seen map[string]bool) *node
	sleeve = func(id string, seen map[string]bool) *node {
		if id == "" || seen[id] {
			return root
		}
		if n, ok := bySleeve[id]; ok {
			return n
		}
		seen[id] = true
		n := &node{part: Part{ID: id, Wall: known[id].Wall}}
		up := sleeve(known[id].In, seen)
		up.in = append(up.in, n)
		bySleeve[id] = n
		return n
	}
	for _, w := range wires {
		n := &node{part: Part{ID: w.ID, Diameter: w.Diameter, Rank: w.Leaves}, wire: true}
		if w.Twist == "" {
			up := sleeve(w.Sleeve, map[string]bool{})
			up.in = append(up.in, n)
			continue
		}
		group, ok := byTwist[w.Twist]
		if !ok {
			group = &node{part: Part{ID: w.Twist}}
			byTwist[w.Twist] = group
			up := sleeve(w.Sleeve, map[string]bool{})
			up.in = append(up.in, group)
		}
		group.in = append(group.in, n)
	}
	return root.parts()
}

// node is a part while it is put together.
type node struct {
	part Part
	wire bool
	in   []*node
}

func (n *node) parts() (out []Part) {
	for _, c := range n.in {
		p := c.part
		if !c.wire {
			p.Parts = c.parts()
			for _, q := range p.Parts {
				p.Rank = max(p.Rank, q.Rank)
			}
			if len(p.Parts) == 1 && p.Wall == 0 { // alone in this run: nothing to twist with
				p = p.Parts[0]
			}
		}
		out = append(out, p)
	}
	return out
}
