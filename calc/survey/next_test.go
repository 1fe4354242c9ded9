package survey

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"loomwright/calc/unit"
)

func sayTasks(tasks []Task) string {
	var all []string
	for _, t := range tasks {
		all = append(all, fmt.Sprint(t.Need, " ", strings.Join(t.Runs, "+"), " ", t.From, ">", t.To))
	}
	return strings.Join(all, ", ")
}

func TestNext(t *testing.T) {
	// a - b - c - d - e, and x beside b.
	side := street + "run bx b x\n"
	for _, tt := range []struct{ name, build, from, want string }{
		{"nothing there", "", "a", ""},
		{"all, the short branch before the long", side, "a", "length ab a>b, length bx b>x, length bc b>c, length cd c>d, length de d>e"},
		{"from the middle", side, "c", "length bc c>b, length ab b>a, length bx b>x, length cd c>d, length de d>e"},
		{"from nowhere", street, "zz", "length ab a>b, length bc b>c, length cd c>d, length de d>e"},
		{"what must be, then what should be on the way back", street + "read r1 500 ab\nread r2 500 bc\nguess r3 300 cd\nread r4 80 de\nread r5 81 de", "a",
			"string cd c>d, check bc c>b, check ab b>a"},
		{"an island after the rest", street + "run yz y z\nread r1 400 ab\nread r2 400 bc\nread r3 300 cd", "a", "length de d>e, length yz y>z, check ab a>b, check bc b>c, check cd c>d"},
		{"the reading that settles", street + "tape r1 500 ab\ntape r2 300 bc\ntape r3 400 cd\ntape r4 1260 ab bc cd\ntape r5 100 de\ntape r6 100 de", "a",
			"proof bc+cd b>d"},
		{"the same met from its other end", street + "tape r1 500 ab\ntape r2 300 bc\ntape r3 400 cd\ntape r4 1260 ab bc cd\ntape r5 100 de\ntape r6 100 de", "e",
			"proof cd+bc d>b"},
		{"round a loop", "run ab a b\nrun bc b c\nrun ca c a\n", "a", "length bc b>c, length ab a>b, length ca a>c"},
	} {
		if got := sayTasks(Adjust(world(t, tt.build), nil).Next(tt.from)); tt.name == "round a loop" {
			if strings.Count(got, "length") != 3 {
				t.Errorf("%s: %s", tt.name, got)
			}
		} else if got != tt.want {
			t.Errorf("%s:\n got %s\nwant %s", tt.name, got, tt.want)
		}
	}
}

// On trees: every task once, from where the last one ended or nearer to it than any shorter walk would be; the whole walk is
// twice the needed runs less the farthest way out, which no walk can beat.
func TestNextWalksTheShortestWay(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	for trial := range 60 {
		c := newCar(t, uint64(trial), 4+rng.IntN(36))
		for i := 1; i < len(c.parent); i++ {
			if rng.IntN(3) > 0 {
				c.read(t, []int{i}, 0)
				c.read(t, []int{i}, 0)
			}
		}
		l := Adjust(c.b, nil)
		if len(l.Suspicions()) > 0 {
			continue
		}
		tasks := l.Next(c.place(0))
		n := map[string]int{}
		for i := range c.parent {
			n[c.place(i)] = i
		}
		length := func(way []int) (sum float64) {
			for _, i := range way {
				sum += l.walker().edges[l.walker().byRun[c.run(i)]].length
			}
			return sum
		}
		at, walked := 0, 0.0
		needed := map[int]bool{}
		farthest := 0.0
		for _, task := range tasks {
			if task.Need != NeedLength {
				t.Fatalf("trial %d: %+v", trial, task)
			}
			walked += length(c.way(at, n[task.From])) + length(c.way(n[task.From], n[task.To]))
			at = n[task.To]
			for _, i := range c.way(0, at) {
				needed[i] = true
			}
			farthest = max(farthest, length(c.way(0, at)))
		}
		least := -farthest
		for i := range needed {
			least += 2 * length([]int{i})
		}
		if _, of := l.Measured(); len(tasks) != of-measuredRuns(l) || walked > least+1e-6 {
			t.Fatalf("trial %d: %d tasks, walked %v, possible %v", trial, len(tasks), walked, least)
		}
	}
}

func measuredRuns(l *Lengths) int {
	n, _ := l.Measured()
	return n
}

func TestAsBuilt(t *testing.T) {
	b := world(t, street+`read r1 500 ab
read r2 300 bc
read r3 100 cd
built b1 540 ab
built b2 510 ab
built b3 790 ab bc
built b4 870 bc cd
built b5 130 cd
built b6 500 de
built b7 900 ab bc cd
out b7`)
	l := Adjust(b, nil)
	var got []string
	for _, x := range l.AsBuilt(func(run string) unit.Length { return map[string]unit.Length{"cd": 5 * unit.Millimetre}[run] }, Bands) {
		s := fmt.Sprint(x.Reading, " ", x.Verdict)
		if x.Known {
			s += fmt.Sprint(" ", x.Sheet.Format(unit.Metric), " by ", x.Diff.Format(unit.Metric))
		}
		got = append(got, s)
	}
	// 2 in to 5 ft: 405 + 50.8 mm is passed by 870. 105 mm may be an inch over. Nothing else says how long de is.
	want := "b2 passed 500 mm by 10 mm, b3 short 800 mm by -10 mm, b4 long 405 mm by 465 mm, b5 passed 105 mm by 25 mm, b6 "
	if strings.Join(got, ", ") != want {
		t.Errorf("got  %s\nwant %s", strings.Join(got, ", "), want)
	}
	for sheet, inches := range map[unit.Length]unit.Length{200 * unit.Millimetre: 1, unit.Foot: 2, 5 * unit.Foot: 4, 24 * unit.Foot: 6} {
		if got := Over(sheet, Bands); got != inches*unit.Inch {
			t.Errorf("%v may be %v over, want %v in", sheet, got, inches)
		}
	}
	if got := Over(10*unit.Metre, Bands); got != 500*unit.Millimetre {
		t.Errorf("10 m may be %v over, want 5 %%", got)
	}
	if Over(unit.Metre, nil) != 0 {
		t.Error("without bands nothing is allowed")
	}
}
