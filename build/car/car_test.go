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

// Of 200 faults that are planted one at a time, what is dead alone puts the right group among the first three, and at most
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
	const n = 200
	grouped, found := 0, 0
	for _, f := range Pick(c, m, n, 7) {
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
