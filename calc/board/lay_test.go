package board

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
)

// randomTree is a tree of so many runs. shape 0 is any tree, 1 a trunk with branches, 2 a star of stars, 3 one long string.
func randomTree(r *rand.Rand, runs, shape int) Tree {
	t := Tree{Parent: []int{-1}, Length: []float64{0}, Weight: []int{0}}
	for i := 1; i <= runs; i++ {
		parent := r.IntN(i)
		switch shape {
		case 1:
			parent = r.IntN(max(1, i/3))
		case 2:
			parent = r.IntN(min(i, 5))
		case 3:
			parent = i - 1 - r.IntN(min(i, 2))
		}
		t.Parent = append(t.Parent, parent)
		t.Length = append(t.Length, math.Round(20*math.Pow(40, r.Float64()))) // 20 to 800 mm, short ones as common as long ones
		t.Weight = append(t.Weight, r.IntN(60))
	}
	return t
}

// touches reports whether any two lines touch where they may not, and says which.
func touches(t Tree, l Layout) string {
	type piece struct {
		run, nth, last int
		a, b           Point
	}
	var all []piece
	for i, line := range l.Lines {
		for k := 1; k < len(line); k++ {
			all = append(all, piece{i, k, len(line) - 1, line[k-1], line[k]})
		}
	}
	share := func(p, q piece) bool { // one end of theirs is the same
		if p.run == q.run {
			return q.nth == p.nth+1 || p.nth == q.nth+1
		}
		if t.Parent[p.run] == t.Parent[q.run] && p.nth == 1 && q.nth == 1 {
			return true
		}
		return t.Parent[p.run] == q.run && p.nth == 1 && q.nth == q.last || t.Parent[q.run] == p.run && q.nth == 1 && p.nth == p.last
	}
	for i, p := range all {
		for _, q := range all[:i] {
			if !share(p, q) {
				if crossing(p.a, p.b, q.a, q.b) {
					return fmt.Sprintf("runs to %d and %d touch", p.run, q.run)
				}
				continue
			}
			// They meet in one point: no part of one may lie on the other.
			for _, ends := range [][3]Point{{p.a, p.b, q.a}, {p.a, p.b, q.b}} {
				if d := fromSegment(ends[2], ends[0], ends[1]); d > 0 && d < 1e-9 {
					return fmt.Sprintf("runs to %d and %d lie on each other", p.run, q.run)
				}
			}
			u, v := p.b.minus(p.a), q.b.minus(q.a)
			if math.Abs(u.cross(v)) < 1e-9*u.length()*v.length() && (p.a == q.a && u.dot(v) > 0 || p.b == q.a && u.dot(v) < 0 || p.a == q.b && u.dot(v) < 0) {
				return fmt.Sprintf("runs to %d and %d leave in one direction", p.run, q.run)
			}
		}
	}
	return ""
}

func check(t *testing.T, name string, tree Tree, bench Bench, l Layout) {
	t.Helper()
	for i, p := range tree.Parent {
		if p < 0 {
			if l.Lines[i] != nil {
				t.Errorf("%s: a line leads to where a tree begins", name)
			}
			continue
		}
		if got := Length(l.Lines[i]); math.Abs(got-tree.Length[i]) > 1e-6 {
			t.Errorf("%s: run to %d is %v mm, drawn %v", name, i, tree.Length[i], got)
		}
		if l.Lines[i][0] != l.At[p] || l.Lines[i][len(l.Lines[i])-1] != l.At[i] {
			t.Errorf("%s: run to %d does not join its places", name, i)
		}
		for _, at := range l.Lines[i] {
			if at.X < Rim-1e-6 || at.Y < Rim-1e-6 || at.X > l.Bench.Width-Rim+1e-6 || at.Y > l.Bench.Height-Rim+1e-6 {
				t.Errorf("%s: run to %d leaves the bench at %v", name, i, at)
			}
		}
	}
	if l.Fits && l.Bench != bench {
		t.Errorf("%s: fits, but lies on %v", name, l.Bench)
	}
	if what := touches(tree, l); what != "" {
		t.Errorf("%s: %s", name, what)
	}
}

// The bar: no crossings in 1000 trees of 10 to 80 runs, every length exact, all inside the bench.
func TestRandomTrees(t *testing.T) {
	trees := 1000
	if testing.Short() {
		trees = 60
	}
	bench := Bench{2400, 1200}
	fits, sharp, bends, loose := 0, 180.0, 0, 0
	for i := range trees {
		r := rand.New(rand.NewPCG(uint64(i), 6))
		tree := randomTree(r, 10+i%71, i%4)
		l, err := Lay(tree, bench)
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprintf("tree %d of %d runs", i, len(tree.Parent)-1)
		check(t, name, tree, bench, l)
		if shapeOf(tree).most <= directions-2 && l.Clear > 0 && l.Sharp < 15-1e-6 {
			t.Errorf("%s: an angle of %.1f degrees", name, l.Sharp)
		}
		if l.Fits {
			fits++
		}
		if l.Clear == 0 {
			loose++
		}
		sharp, bends = min(sharp, l.Sharp), bends+l.Bends
	}
	t.Logf("%d of %d fit %v, %d in wedges, least angle %.1f degrees, %.1f bends each", fits, trees, bench, loose, sharp, float64(bends)/float64(trees))
}

func TestWedgesNeverCross(t *testing.T) {
	for i := range 400 {
		r := rand.New(rand.NewPCG(uint64(i), 7))
		tree := randomTree(r, 10+i%71, i%4)
		l := Layout{}
		s := shapeOf(tree)
		l.Lines, l.At = s.wedges()
		l.settle(s, Bench{})
		check(t, fmt.Sprintf("tree %d", i), tree, Bench{}, l)
	}
}

func TestTheSameTreeIsLaidTheSame(t *testing.T) {
	tree := randomTree(rand.New(rand.NewPCG(3, 3)), 60, 1)
	first, _ := Lay(tree, Bench{2400, 1200})
	again, _ := Lay(tree, Bench{2400, 1200})
	if !reflect.DeepEqual(first, again) {
		t.Error("laid twice, it lies differently")
	}
}

func BenchmarkLay(b *testing.B) {
	tree := randomTree(rand.New(rand.NewPCG(3, 3)), 60, 1)
	for b.Loop() {
		if _, err := Lay(tree, Bench{2400, 1200}); err != nil {
			b.Fatal(err)
		}
	}
}
