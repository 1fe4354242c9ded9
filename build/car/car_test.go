package car

import (
	"os"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/suspect"
	"loomwright/storage"
)

func demo(t testing.TB) (*harness.Build, suspect.Ways) {
	t.Helper()
	f, err := os.Open("../../testdata/builds/roadster.build")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	l, err := storage.Decode(f, nil)
	if err != nil {
		t.Fatal(err)
	}
	b := l.State()
	g := route.New(b, survey.Adjust(b, nil))
	return b, func(w harness.Wire) (places, runs []string) {
		p, err := g.Wire(w)
		if err != nil {
			return nil, nil
		}
		return p.Places, p.Runs
	}
}

// Of 2000 faults that are planted one at a time, what is dead alone puts the right group among the first three, and at most
// four measurements find it.
func TestPlantedFaultsAreFound(t *testing.T) {
	b, ways := demo(t)
	m, c := suspect.New(b, ways), New(b, ways)
	whole := c.Run()
	for _, id := range m.Devices() {
		if p, _ := b.Places.Get(id); whole.Dead(id) {
			t.Errorf("%s is dead with no fault", p.Name)
		}
	}
	n, grouped, found := 0, 0, 0
	var all []Fault
	for _, seed := range Seeds {
		all = append(all, Pick(c, m, PerSeed, seed)...)
	}
	for _, f := range all {
		n++
		x := Find(m, c, f)
		in := x.Group >= 1 && x.Group <= 3
		if in {
			grouped++
		}
		ok := x.Held && len(x.Left) == 1 && x.Steps <= 4
		if ok {
			found++
		}
		if !in || !ok {
			t.Logf("%s: %d dead, group %d, %d steps, %d left, held %v", f.Name(b), x.Dead, x.Group, x.Steps, len(x.Left), x.Held)
		}
	}
	t.Logf("%d of %d in the first three groups, %d found", grouped, n, found)
	if grouped*100 < n*95 || found*100 < n*95 {
		t.Errorf("of %d faults %d were in the first three groups and %d found with four measurements, want 95 %%", n, grouped, found)
	}
}

// Two faults at once are told from one: both are among what is left, or the one that was looked for is.
func TestTwoFaultsAtOnce(t *testing.T) {
	b, ways := demo(t)
	m, c := suspect.New(b, ways), New(b, ways)
	single := Pick(c, m, 60, 11)
	tried, first, known := 0, 0, 0
	for i := 0; i+1 < len(single); i += 2 {
		x, y := single[i], single[i+1]
		r, rx, ry := c.Run(x, y), c.Run(x), c.Run(y)
		var seen suspect.Seen
		own := [2]bool{}
		for _, id := range m.Devices() {
			if r.Dead(id) {
				seen.Dead = append(seen.Dead, id)
			} else {
				seen.Works = append(seen.Works, id)
			}
			own[0] = own[0] || rx.Dead(id) && !ry.Dead(id)
			own[1] = own[1] || ry.Dead(id) && !rx.Dead(id)
		}
		if !own[0] || !own[1] || len(seen.Works) == 0 {
			continue // one hides the other: no measurement of what is dead can tell two
		}
		tried++
		v := m.Judge(seen)
		if !v.Double {
			continue
		}
		known++
		for k, g := range v.Groups {
			if k < 3 && len(g.Misses) == 0 && len(g.Spares) == 0 && g.Double {
				first++
				break
			}
		}
	}
	t.Logf("%d pairs, %d known as two, %d explained in the first three groups", tried, known, first)
	if tried < 10 || known*100 < tried*90 || first != known {
		t.Errorf("of %d pairs of faults %d were known as two and %d explained", tried, known, first)
	}
}

// What comes and goes with heat lies where it is hot.
func TestWhatComesAndGoes(t *testing.T) {
	b, ways := demo(t)
	m := suspect.New(b, ways)
	var crank string
	for _, p := range b.Places.All() {
		if p.Name == "Wideband sensor" {
			crank = p.ID
		}
	}
	cold := m.Judge(suspect.Seen{Dead: []string{crank}})
	hot := m.Judge(suspect.Seen{Dead: []string{crank}, Hot: true})
	of := func(v suspect.Verdict) (share float64) {
		for _, g := range v.Groups {
			for _, x := range g.All {
				if w, ok := b.Wires.Get(x.Ref.ID); ok {
					_, runs := ways(w)
					for _, id := range runs {
						if r, _ := b.Runs.Get(id); r.Hot {
							share += x.Share
							break
						}
					}
				}
			}
		}
		return share
	}
	if of(hot) <= of(cold) {
		t.Errorf("wires in hot runs have %.2f of it when it comes with heat, and %.2f else", of(hot), of(cold))
	}
}
