package circuit

import (
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
)

// complete is a starter with all its wires, over which nothing is found.
func complete(t *testing.T) *harness.Build {
	t.Helper()
	b := started(t, Starters[1])
	for _, p := range b.Places.All() {
		p.Status = harness.Mounted
		put(t, b, Records{Places: []harness.Place{p}})
	}
	accept(t, b, Wires(b, nil))
	for _, f := range Judge(b, nil) {
		t.Fatalf("%s: %s", f.Rule, f.What)
	}
	return b
}

// Each rule finds what is wrong, on its record, and nothing else is found but what comes with it.
func TestEachRule(t *testing.T) {
	lead := func(b *harness.Build, legend string, f func(*harness.Lead)) Records {
		for _, l := range b.Leads.All() {
			if l.Legend == legend {
				f(&l)
				return Records{Leads: []harness.Lead{l}}
			}
		}
		t.Fatalf("no lead %q", legend)
		return Records{}
	}
	terminal := func(owner string, f func(*harness.Terminal)) func(*harness.Build) Records {
		return func(b *harness.Build) Records {
			x, ok := b.Terminals.Get(ids(harness.KindTerminal, owner))
			if !ok {
				t.Fatalf("no terminal %q", owner)
			}
			f(&x)
			return Records{Terminals: []harness.Terminal{x}}
		}
	}
	without := func(owner string) func(*harness.Build) Records { // takes the wires at a terminal away
		return func(b *harness.Build) (r Records) {
			for _, w := range NewNet(b).Wires(ids(harness.KindTerminal, owner)) {
				w.Gone = true
				r.Wires = append(r.Wires, w)
			}
			return r
		}
	}
	wire := func(from, to string) func(*harness.Build) Records {
		return func(b *harness.Build) Records {
			return Records{Wires: []harness.Wire{{Record: rec("new"), Name: "X1", From: end(b, from), To: end(b, to)}}}
		}
	}
	for _, row := range []struct {
		name string
		do   func(*harness.Build) Records
		rule string
		n    int
		also map[string]bool // what comes with it
	}{
		{"a ground to be removed", func(b *harness.Build) Records {
			return lead(b, "PWR GND 1", func(l *harness.Lead) { l.Decision = harness.Remove })
		}, VitalRemoved, 1, map[string]bool{RemovedInUse: true}},
		{"with a reason", func(b *harness.Build) Records {
			return lead(b, "PWR GND 1", func(l *harness.Lead) { l.Decision, l.DecisionWhy = harness.Remove, "twin of another" })
		}, VitalRemoved, 0, map[string]bool{RemovedInUse: true}},
		{"an output to be removed that is wired", func(b *harness.Build) Records {
			return lead(b, "INJ 1", func(l *harness.Lead) { l.Decision = harness.Remove })
		}, RemovedInUse, 1, nil},
		{"undecided", func(b *harness.Build) Records {
			return lead(b, "OUT 2", func(l *harness.Lead) { l.Decision = harness.Undecided })
		}, LeadUndecided, 1, nil},
		{"a cavity that is there twice", func(b *harness.Build) Records {
			return Records{Terminals: []harness.Terminal{{Record: rec("x"), Place: ids(harness.KindPlace, "Controller"), Connector: "a", Name: "1"}}}
		}, CavityTwice, 1, nil},
		{"two leads in one cavity", func(b *harness.Build) Records {
			return Records{Leads: []harness.Lead{{Record: rec("x"), Terminal: ids(harness.KindTerminal, "Controller/1"), Legend: "twin", Decision: harness.Use}}}
		}, SharedCavity, 1, nil},
		{"with a reason, under a seal", func(b *harness.Build) Records {
			r := terminal("Controller/1", func(x *harness.Terminal) { x.SharedWhy = "as supplied" })(b)
			r.Leads = []harness.Lead{{Record: rec("x"), Terminal: ids(harness.KindTerminal, "Controller/1"), Legend: "twin", Decision: harness.Use}}
			return r
		}, SharedSeal, 1, nil},
		{"an empty cavity with no plug", func(b *harness.Build) Records {
			r := lead(b, "OUT 2", func(l *harness.Lead) { l.Decision, l.Acted = harness.Remove, &harness.Acted{Decision: harness.Remove} })
			for _, w := range NewNet(b).Wires(r.Leads[0].Terminal) {
				w.Gone = true
				r.Wires = append(r.Wires, w)
			}
			return r
		}, NoPlug, 1, nil},
		{"an injector with no supply wire", without("Injector 1/supply"), CircuitOpen, 1, nil},
		{"and no circuit", func(b *harness.Build) Records {
			r := without("Injector 1/supply")(b)
			r.Terminals = terminal("Injector 1/supply", func(x *harness.Terminal) { x.Circuit = "" })(b).Terminals
			return r
		}, NotJoined, 1, nil},
		{"injectors with no fuse", without("F5/out"), NoSupply, 4, map[string]bool{CircuitOpen: true}},
		{"a pump with no ground", without("Body ground/lug 3"), CircuitOpen, 1, nil},
		{"coils with no ground", without("Engine ground/lug 5"), NoGround, 4, map[string]bool{CircuitOpen: true}},
		{"sensors with no 5 V", func(b *harness.Build) Records {
			return without("Controller/" + cavityOf(t, b, "5V OUT"))(b)
		}, NoReference, 3, map[string]bool{CircuitOpen: true}},
		{"sensors with no ground", func(b *harness.Build) Records {
			return without("Controller/" + cavityOf(t, b, "SENS GND"))(b)
		}, NoGround, 5, map[string]bool{CircuitOpen: true}},
		{"an injector at the wrong output", func(b *harness.Build) Records {
			r := without("Injector 1/drive")(b)
			r.Wires = append(r.Wires, wire("1/", "Injector 1/drive")(b).Wires...)
			return r
		}, NoDrive, 1, map[string]bool{CircuitOpen: true}},
		{"sensor ground on the engine", wire("Coolant temperature/ground", "Engine ground/lug 7"), GroundsMixed, 1, map[string]bool{SharedCavity: true}},
		{"a circuit with one end", func(*harness.Build) Records {
			return Records{Circuits: []harness.Circuit{{Record: rec("x"), Name: "horn"}}}
		}, CircuitSingle, 1, nil},
		{"a fuse that is gone", func(b *harness.Build) Records {
			p, _ := b.Parts.Get(ids(harness.KindPart, "Panel F4"))
			p.Gone = true
			return Records{Parts: []harness.Part{p}}
		}, FeedLost, 1, nil},
		{"a lead in use that goes nowhere", func(b *harness.Build) Records {
			r := lead(b, "OUT 2", func(l *harness.Lead) { l.Decision = harness.Use })
			for _, w := range NewNet(b).Wires(r.Leads[0].Terminal) {
				w.Gone = true
				r.Wires = append(r.Wires, w)
			}
			return r
		}, GoesNowhere, 1, nil},
		{"a kept lead that ends nowhere", func(b *harness.Build) Records {
			return without("Controller/" + cavityOf(t, b, "OUT 2"))(b)
		}, KeptLoose, 1, nil},
		{"a wire at no place", func(*harness.Build) Records {
			return Records{Wires: []harness.Wire{{Record: rec("x"), Name: "X1", From: harness.End{Place: "nowhere"}}}}
		}, NoPlace, 1, nil},
		{"a twisted pair parted", func(b *harness.Build) Records {
			return lead(b, "CAM", func(l *harness.Lead) { l.Twist = "crank" })
		}, TwistApart, 1, nil},
		{"a drain grounded at both ends", func(b *harness.Build) Records {
			w := NewNet(b).Wires(ids(harness.KindTerminal, "Controller/"+cavityOf(t, b, "CRANK SHLD")))[0]
			w.To = end(b, "Engine ground/lug 7")
			return Records{Wires: []harness.Wire{w}}
		}, ShieldTwice, 1, nil},
		{"a place that is open", func(b *harness.Build) Records {
			p, _ := b.Places.Get(ids(harness.KindPlace, "Fan"))
			p.Status = harness.Open
			return Records{Places: []harness.Place{p}}
		}, PlaceUndecided, 1, nil},
		{"a relay with no coil feed", without("K2/86"), CircuitOpen, 1, nil},
		{"a sensor that may stay off", terminal("Fan/+", func(x *harness.Terminal) { x.Need = harness.No }), NotJoined, 0, nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			b := complete(t)
			put(t, b, row.do(b))
			n := 0
			for _, f := range Judge(b, nil) {
				switch {
				case f.Rule == row.rule:
					n++
				case !row.also[f.Rule]:
					t.Errorf("found too: %s: %s", f.Rule, f.What)
				}
				if f.Subject.ID == "" || f.Fix.At.ID == "" || f.Fix.Do == "" || f.Severity == 0 || f.Source == "" || f.What == "" {
					t.Errorf("%+v", f)
				}
			}
			if n != row.n {
				t.Errorf("%d findings of %q, want %d", n, row.rule, row.n)
			}
		})
	}
}

func end(b *harness.Build, owner string) harness.End {
	x, _ := b.Terminals.Get(ids(harness.KindTerminal, owner))
	return harness.End{Place: x.Place, Terminal: x.ID}
}

func cavityOf(t *testing.T, b *harness.Build, legend string) string {
	t.Helper()
	for _, l := range b.Leads.All() {
		if l.Legend == legend {
			x, _ := b.Terminals.Get(l.Terminal)
			return x.Name
		}
	}
	t.Fatalf("no lead %q", legend)
	return ""
}

func TestTaps(t *testing.T) {
	const live, dead = harness.Live, harness.Dead
	for _, row := range []struct {
		name string
		tap  harness.Tap
		want string
		stop bool
	}{
		{"holds while cranking", harness.Tap{Off: dead, Run: live, Crank: live, Holds: harness.Yes}, "", false},
		{"must hold and does not", harness.Tap{Off: dead, Run: live, Crank: dead, Holds: harness.Yes}, DropsOut, true},
		{"drops out, nobody said whether it matters", harness.Tap{Off: dead, Run: live, Crank: dead}, DropsOut, false},
		{"may drop out", harness.Tap{Off: dead, Run: live, Crank: dead, Holds: harness.No}, "", false},
		{"not measured while cranking", harness.Tap{Off: dead, Run: live}, TapUnmeasured, false},
		{"no feed", harness.Tap{Off: dead, Run: dead, Crank: dead}, "", false},
	} {
		b := harness.NewBuild("b")
		row.tap.ID = "x"
		if err := into(b, harness.KindTap, []harness.Tap{row.tap}); err != nil {
			t.Fatal(err)
		}
		got := Judge(b, nil)
		switch {
		case row.want == "" && len(got) > 0, row.want != "" && (len(got) != 1 || got[0].Rule != row.want || (got[0].Severity == harness.Stop) != row.stop):
			t.Errorf("%s: %+v", row.name, got)
		}
	}
}

// A wire with no way is a finding once there is a route.
func TestNoRoute(t *testing.T) {
	b := complete(t)
	routes := 0
	for _, f := range Judge(b, route.New(b, survey.Adjust(b, nil))) {
		if f.Rule == NoRoute {
			routes++
		}
	}
	inside := 0
	for _, w := range b.Wires.All() {
		from, _ := b.EndPlace(w.From)
		if to, _ := b.EndPlace(w.To); from == to {
			inside++
		}
	}
	if want := b.Wires.Len() - inside; routes != want || want < 40 {
		t.Errorf("%d wires have no way, want %d", routes, want)
	}
}
