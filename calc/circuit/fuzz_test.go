package circuit

import (
	"fmt"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
)

// FuzzPlan makes states as a merge of files may make them: references to anything, circles, things that are gone. Nothing
// fails on them, what is proposed is taken, and then nothing is proposed any more.
func FuzzPlan(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20})
	seed := make([]byte, 0, 600)
	for i := range 600 {
		seed = append(seed, byte(i*i*7+i))
	}
	f.Add(seed)
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 4000 {
			return
		}
		b := harness.NewBuild("b")
		random(t, b, data)
		settled := false
		for range 12 {
			all := append(append(Assign(b), Share(b)...), Wires(b, route.New(b, survey.Adjust(b, nil)))...)
			if settled = len(all) == 0; settled {
				break
			}
			accept(t, b, all)
			for _, p := range all {
				if p.ID == "" || p.What == "" || p.Put.Len() == 0 {
					t.Fatalf("%+v", p)
				}
			}
		}
		if !settled {
			t.Fatalf("still proposed: %+v", append(append(Assign(b), Share(b)...), Wires(b, nil)...)[0])
		}
		for _, x := range Judge(b, route.New(b, survey.Adjust(b, nil))) {
			if x.Rule == "" || x.Severity == 0 || x.Fix.Do == "" {
				t.Fatalf("%+v", x)
			}
		}
		n := NewNet(b)
		n.Removal()
		n.Seating()
		n.Kept()
		n.Removable()
		Count(b)
		for _, c := range b.Circuits.All() {
			n.Load(c)
		}
		for _, p := range b.Places.All() {
			n.Panel(p.ID)
		}
		put(t, b, Gather(b))
		if r := Gather(b); len(r.Circuits) > 0 {
			t.Fatalf("gathered again: %+v", r.Circuits[0])
		}
		At(b, route.New(b, survey.Adjust(b, nil)))
	})
}

// random fills a build from bytes, which refer to each other at will.
func random(t *testing.T, b *harness.Build, data []byte) {
	next := func() int {
		if len(data) == 0 {
			return 0
		}
		n := int(data[0])
		data = data[1:]
		return n
	}
	id := func(kind string) string {
		if n := next(); n%8 > 0 {
			return fmt.Sprint(kind, n%8)
		}
		return ""
	}
	words := []string{"", "injector 1", "crank +", "Coil 2", "5 V", "87", "30", "out", "in", "\x00", "é - +"}
	text := func() string { return words[next()%len(words)] }
	signal := func() harness.Signal {
		return append(harness.Signals, "", "no such signal")[next()%(len(harness.Signals)+2)]
	}
	end := func() (e harness.End) {
		switch next() % 3 {
		case 0:
			e.Joint = id("j")
		case 1:
			e.Place, e.Terminal = id("p"), id("t")
		default:
			e.Place = id("p")
		}
		return e
	}
	for len(data) > 0 {
		r := harness.Record{ID: fmt.Sprint(1 + next()%7), Gone: next()%9 == 0}
		name := func(kind string) harness.Record { r.ID = kind + r.ID; return r }
		var put1 Records
		switch next() % 8 {
		case 0:
			put1.Places = []harness.Place{{Record: name("p"), Kind: append(harness.PlaceKinds, "")[next()%(len(harness.PlaceKinds)+1)], Name: text(),
				Device: Devices[next()%len(Devices)].Key, Rows: next() - 100, Columns: next() * 1000}}
		case 1:
			put1.Terminals = []harness.Terminal{{Record: name("t"), Place: id("p"), Name: text(), Circuit: id("c"), Part: id("f"), Signal: signal()}}
		case 2:
			put1.Leads = []harness.Lead{{Record: name("l"), Terminal: id("t"), Function: text(), Signal: signal(), Twist: text(), Shield: text(),
				Decision: append(harness.Decisions, "")[next()%6], Size: text()}}
		case 3:
			put1.Wires = []harness.Wire{{Record: name("w"), From: end(), To: end(), Lead: id("l"), Circuit: id("c"), Source: text(), Edited: next()%4 == 0}}
		case 4:
			put1.Joints = []harness.Joint{{Record: name("j"), Place: id("p"), Circuit: id("c")}}
		case 5:
			put1.Parts = []harness.Part{{Record: name("f"), Place: id("p"), Kind: harness.PartKinds[next()%len(harness.PartKinds)], Feed: id("f"), Name: text()}}
		case 6:
			put1.Circuits = []harness.Circuit{{Record: name("c"), Name: text(), Feed: []string{id("f"), id("f")}, Strip: id("t"), JoinAt: id("p"), Looms: []string{id("m")}}}
		default:
			if err := into(b, harness.KindRun, []harness.Run{{Record: name("r"), A: id("p"), B: id("p"), Loom: id("m")}}); err != nil {
				t.Fatal(err)
			}
			continue
		}
		put(t, b, put1)
	}
}
