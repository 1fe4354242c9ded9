package circuit

import (
	"loomwright/calc/harness"
	"loomwright/calc/route"
)

// LoomAt is a loom where it comes to a place.
type LoomAt struct {
	Loom  string         // empty for runs that are in no loom
	Leads []harness.Wire // supplied leads that end there
	Added []harness.Wire // other wires that join it there
}

// LoomsAt returns the looms that come to a place with their wires that end there, in the order of looms, then those with no
// loom; and the wires that end there and have no way. Wires that stay at the place are in neither. Cost: a way for each wire.
func (n *Net) LoomsAt(g *route.Graph, place string) (all []LoomAt, lost []harness.Wire) {
	at := map[string]int{}
	for _, l := range n.b.Looms.All() {
		at[l.ID] = len(all)
		all = append(all, LoomAt{Loom: l.ID})
	}
	at[""] = len(all)
	all = append(all, LoomAt{})
	wires := n.b.Wires.All()
	for i := range wires {
		w := wires[i]
		from, _ := n.b.EndPlace(w.From)
		to, _ := n.b.EndPlace(w.To)
		if (from == place) == (to == place) {
			continue
		}
		path, err := g.Wire(w)
		if err != nil || len(path.Runs) == 0 {
			lost = append(lost, w)
			continue
		}
		run := path.Runs[0]
		if to == place {
			run = path.Runs[len(path.Runs)-1]
		}
		r, _ := n.b.Runs.Get(run)
		k, known := at[r.Loom]
		if !known {
			k = at[""]
		}
		if w.Lead != "" {
			all[k].Leads = append(all[k].Leads, w)
		} else {
			all[k].Added = append(all[k].Added, w)
		}
	}
	kept := all[:0]
	for _, l := range all {
		if len(l.Leads)+len(l.Added) > 0 {
			kept = append(kept, l)
		}
	}
	return kept, lost
}
