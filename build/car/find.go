package car

import (
	"math/rand/v2"

	"loomwright/calc/harness"
	"loomwright/calc/suspect"
)

// Found is how one fault was found.
type Found struct {
	Fault Fault
	Dead  int
	Group int // the place of the group that holds it, from 1; 0 is none
	Steps int // measurements until nothing was left to split
	Left  []suspect.Candidate
	Held  bool // it is among what is left
}

// Find looks for a fault by what is dead and by what the meter shows.
func Find(m *suspect.Model, c *Car, faults ...Fault) Found {
	r := c.Run(faults...)
	out := Found{Fault: faults[0]}
	var seen suspect.Seen
	for _, id := range m.Devices() {
		if r.Dead(id) {
			seen.Dead = append(seen.Dead, id)
		} else {
			seen.Works = append(seen.Works, id)
		}
	}
	out.Dead = len(seen.Dead)
	v := m.Judge(seen)
	for i, g := range v.Groups {
		for _, x := range g.All {
			if faults[0].Is(x) && out.Group == 0 {
				out.Group = i + 1
			}
		}
	}
	for v.Next != nil && out.Steps < 12 {
		out.Steps++
		seen.Answers = append(seen.Answers, suspect.Answer{Measure: v.Next.Key, Shows: r.Shows(*v.Next)})
		v = m.Judge(seen)
	}
	out.Left = v.Left
	for _, x := range v.Left {
		out.Held = out.Held || faults[0].Is(x)
	}
	return out
}

// Seeds are those by which faults are picked for measuring: ten times 200, because one draw of 200 is as likely a lucky one.
// The search was made before they were drawn.
var Seeds = []uint64{101, 102, 103, 104, 105, 106, 107, 108, 109, 110}

// PerSeed is how many faults are picked by each.
const PerSeed = 200

// Pick returns n faults that kill something: a kind by chance, then one of that kind.
func Pick(c *Car, m *suspect.Model, n int, seed uint64) (all []Fault) {
	rng := rand.New(rand.NewPCG(seed, 1))
	by := map[string][]Fault{}
	var kinds []string
	for _, f := range c.Faults() {
		if by[f.Kind] == nil {
			kinds = append(kinds, f.Kind)
		}
		by[f.Kind] = append(by[f.Kind], f)
	}
	for len(all) < n {
		of := by[kinds[rng.IntN(len(kinds))]]
		f := of[rng.IntN(len(of))]
		r := c.Run(f)
		for _, id := range m.Devices() {
			if r.Dead(id) {
				all = append(all, f)
				break
			}
		}
	}
	return all
}

// Name says what a fault is on.
func (f Fault) Name(b *harness.Build) string {
	w, _ := b.Wires.Get(f.ID)
	p, _ := b.Places.Get(f.ID)
	j, _ := b.Joints.Get(f.ID)
	x, _ := b.Parts.Get(f.ID)
	name := w.Name + p.Name + j.Name + x.Name
	if t, ok := b.Terminals.Get(f.ID); ok {
		at, _ := b.Places.Get(t.Place)
		name = at.Name + " " + t.Connector + t.Name
	}
	return f.Kind + " " + name + f.Place
}
