package rules

import (
	"slices"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// besides is how far a wire of a class may run beside one that disturbs it, neither twisted nor shielded.
//
// Source: our choice, on common practice: the loom of the sensors apart from that of injectors and coils. A pick-up or knock
// sensor gives some millivolts, which are disturbed within a hand's breadth; a sensor that switches is disturbed along an
// engine, and one of slow volts along a car.
var besides = [...]struct {
	victim   fragile
	noise    harness.Class
	length   unit.Length
	severity harness.Severity
}{
	{faint, harness.Ignition, 150 * unit.Millimetre, harness.Stop},
	{faint, harness.HighCurrent, 300 * unit.Millimetre, harness.Stop},
	{faint, harness.Injection, 300 * unit.Millimetre, harness.Stop},
	{faint, harness.Switching, 1000 * unit.Millimetre, harness.Warn},
	{quick, harness.Ignition, 600 * unit.Millimetre, harness.Warn},
	{quick, harness.HighCurrent, 1500 * unit.Millimetre, harness.Warn},
	{slow, harness.Ignition, 2000 * unit.Millimetre, harness.Warn},
	{slow, harness.HighCurrent, 3000 * unit.Millimetre, harness.Warn},
}

// fragile is how easily a signal is disturbed.
type fragile int

const (
	sturdy fragile = iota
	slow           // a voltage that a sensor gives
	quick          // a crank, cam or speed signal that switches
	faint          // some millivolts: a pick-up, a knock sensor
)

// fragile returns how easily the signal in a wire is disturbed. Grounds and supplies of sensors count as sturdy: what
// couples in there is small against what their wires do to each other.
func (f *facts) fragile(w *wireFacts) fragile {
	if w.class != harness.Sensitive && w.class != harness.Sensing {
		return sturdy
	}
	return f.nets[f.nodes[w.from].net].fragile
}

// fragileNet is fragile for what wires join.
func (f *facts) fragileNet(n *netFacts) fragile {
	signal := harness.NoSignal
	for _, at := range n.nodes {
		t := f.nodes[at].terminal
		if t.ID == "" {
			continue
		}
		switch f.places[t.Place].Device {
		case "pick-up", "knock sensor", "knock sensor, one wire":
			return faint
		}
		if signal == harness.NoSignal {
			signal = f.signal(t)
		}
	}
	switch signal {
	case harness.FrequencyIn:
		return quick
	case harness.AnalogueIn:
		return slow
	}
	return sturdy
}

// twistedFar is how much farther a twisted pair may run. Source: our choice; twisting takes away about nine tenths of what
// couples in.
const twistedFar = 10

// beside looks how far each wire that is disturbed shares a run with wires that disturb, by class. Wires under a shield
// neither disturb nor are disturbed. One finding for each sensor, of its wire that is farthest beside the worst.
func (f *facts) beside() {
	noisy := map[string][]int{} // run to a wire of each class that disturbs
	for id, r := range f.runs {
		for _, i := range r.wires {
			w := &f.wires[i]
			switch w.class {
			case harness.Ignition, harness.HighCurrent, harness.Injection, harness.Switching:
				same := func(k int) bool { return f.wires[k].class == w.class }
				if !w.shielded && !w.twisted && !slices.ContainsFunc(noisy[id], same) {
					noisy[id] = append(noisy[id], i)
				}
			}
		}
	}
	type worst struct {
		rule, wire int
		over       float64
		got, limit unit.Length
		terms      []unit.Term
	}
	found := map[string]worst{} // by sensor
	var order []string
	for i := range f.wires {
		w := &f.wires[i]
		how := f.fragile(w)
		if w.shielded || how == sturdy {
			continue
		}
		var beside [len(besides)]unit.Length
		var terms [len(besides)][]unit.Term
		for _, id := range w.runs {
			for _, k := range noisy[id] {
				for r := range besides {
					if besides[r].victim == how && besides[r].noise == f.wires[k].class {
						beside[r] += f.runs[id].length
						terms[r] = append(terms[r], unit.Term{Name: f.runName(id) + ": beside " + f.wires[k].name(), Value: f.runs[id].length.MM(), Unit: "mm", Of: string(harness.KindRun), ID: id})
					}
				}
			}
		}
		key := f.sensor(w)
		for r := range besides {
			limit := besides[r].length
			if w.twisted {
				limit *= twistedFar
			}
			if beside[r] <= limit {
				continue
			}
			over := float64(beside[r]) / float64(limit)
			old, had := found[key]
			if !had {
				order = append(order, key)
			}
			if !had || besides[r].severity < besides[old.rule].severity || besides[r].severity == besides[old.rule].severity && over > old.over {
				found[key] = worst{r, i, over, beside[r], limit, terms[r]}
			}
		}
	}
	for _, key := range order {
		x := found[key]
		w, rule := &f.wires[x.wire], besides[x.rule]
		at := harness.Ref{Kind: harness.KindWire, ID: w.ID}
		do := "shield it, or lead it another way"
		if !w.twisted {
			do = "twist it with its return and shield it, or lead it another way"
		}
		f.add(harness.Finding{Rule: Beside, Severity: rule.severity, Subject: at,
			What: w.name() + " runs beside " + string(rule.noise) + " wires, " + bare(w.twisted), Got: f.length(x.got), Limit: f.length(x.limit),
			Source: "our choice, on common practice: sensors apart from coils, injectors and power",
			Terms: append(x.terms, unit.Term{Name: "beside them", Formula: "sum of the runs they share", Value: x.got.MM(), Unit: "mm"},
				unit.Term{Name: "may be", Formula: "by the two classes; ten times as far if twisted", Value: x.limit.MM(), Unit: "mm", Source: "our choice"}),
			Fix: harness.Fix{At: at, Field: "shield", Do: do}})
	}
}

// sensor returns the first device that a wire is joined to, else its circuit, else the wire.
func (f *facts) sensor(w *wireFacts) string {
	for _, at := range f.nets[f.nodes[w.from].net].nodes {
		if t := f.nodes[at].terminal; t.ID != "" && f.places[t.Place].Kind == harness.Device {
			return t.Place
		}
	}
	if w.Circuit != "" {
		return w.Circuit
	}
	return w.ID
}

// runName is what a run is called: its two places.
func (f *facts) runName(id string) string {
	r := f.runs[id]
	return f.called([]string{r.A, r.B})
}

func bare(twisted bool) string {
	if twisted {
		return "twisted and not shielded"
	}
	return "neither twisted nor shielded"
}

// looms looks for wires in a loom that other classes are for, where the loom for theirs would lead there too.
func (f *facts) looms() {
	looms := f.b.Looms.All()
	classes := map[string][]harness.Class{}
	for i := range looms {
		classes[looms[i].ID] = looms[i].Classes
	}
	for i := range f.wires {
		w := &f.wires[i]
		if w.class != harness.HighCurrent || !w.routed || len(w.runs) == 0 {
			continue
		}
		wrong := ""
		for _, id := range w.runs {
			if of := classes[f.runs[id].Loom]; len(of) > 0 && !slices.Contains(of, w.class) {
				wrong = f.runs[id].Loom
				break
			}
		}
		if wrong == "" {
			continue
		}
		var right, names []string
		for k := range looms {
			if slices.Contains(looms[k].Classes, w.class) {
				right, names = append(right, looms[k].ID), append(names, looms[k].Name)
			}
		}
		if len(right) == 0 {
			continue
		}
		loom, _ := f.b.Looms.Get(wrong)
		at := harness.Ref{Kind: harness.KindWire, ID: w.ID}
		x := harness.Finding{Rule: WrongLoom, Severity: harness.Note, Subject: at, What: w.name() + " carries much current and lies in the loom " + loom.Name,
			Got: loom.Name, Limit: strings.Join(names, ", "), Source: "common practice: power and ground in a loom and pass-through of their own",
			Fix: harness.Fix{At: at, Field: "looms", Do: "no way leads there in the loom for it: add the run that is missing"}}
		places := f.cut(w).Path.Places
		if _, err := f.g.Path(places[0], places[len(places)-1], right, nil); err == nil {
			now := w.Wire
			now.Looms, now.Via, now.Edited = right, nil, true
			x.Severity, x.Fix.Do = harness.Warn, "move it to the loom "+strings.Join(names, ", ")
			x.Fix.Put = []harness.Put{{Ref: at, Record: now}}
		}
		f.add(x)
	}
}

// holes looks for pass-throughs that power and signals share.
func (f *facts) holes() {
	type hole struct {
		power, signal []int
		worst         fragile
	}
	at := map[string]*hole{}
	for i := range f.wires {
		w := &f.wires[i]
		for _, id := range f.cut(w).Path.Places {
			if f.places[id].Kind != harness.PassThrough {
				continue
			}
			h := at[id]
			if h == nil {
				h = &hole{}
				at[id] = h
			}
			switch {
			case w.class == harness.HighCurrent:
				h.power = append(h.power, i)
			case !w.shielded && !w.twisted && f.fragile(w) != sturdy:
				h.signal = append(h.signal, i)
				h.worst = max(h.worst, f.fragile(w))
			}
		}
	}
	places := f.b.Places.All()
	for i := range places {
		h := at[places[i].ID]
		if h == nil || len(h.power) == 0 || len(h.signal) == 0 {
			continue
		}
		ref := harness.Ref{Kind: harness.KindPlace, ID: places[i].ID}
		x := harness.Finding{Rule: SharedHole, Severity: harness.Warn, Subject: ref,
			What: places[i].Name + " lets wires of much current and signals through together: " + f.wires[h.power[0]].name() + " and " + f.wires[h.signal[0]].name(),
			Got:  count(len(h.power), "power wire") + ", " + count(len(h.signal), "signal"), Limit: "one or the other",
			Source: "common practice: power and ground in a loom and pass-through of their own",
			Fix:    harness.Fix{At: ref, Do: "lead the power through a hole of its own"}}
		if h.worst == slow {
			x.Severity = harness.Note
		}
		for _, k := range h.power {
			x.Also = append(x.Also, harness.Ref{Kind: harness.KindWire, ID: f.wires[k].ID})
		}
		f.add(x)
	}
}

// returns looks whether the signal of a sensor runs beside its own return: what lies between the two is a loop that picks
// up what the coils send out. One finding for each return, of the signal that is farthest from it.
func (f *facts) returns() {
	found := map[int]int{} // net of a return to its finding
	far := map[int]unit.Length{}
	places := f.b.Places.All()
	for i := range places {
		if places[i].Kind != harness.Device {
			continue
		}
		terminals := f.byPlace[places[i].ID]
		back := f.returnOf(terminals)
		if back.ID == "" {
			continue
		}
		there := f.home(f.at[back.ID])
		if len(there) == 0 {
			continue
		}
		for _, t := range terminals {
			if s := f.signal(t); t.ID == back.ID || s != harness.AnalogueIn && s != harness.FrequencyIn {
				continue
			}
			apart := unit.Length(0)
			var terms []unit.Term
			here := f.home(f.at[t.ID])
			for _, id := range here {
				if !slices.Contains(there, id) {
					apart += f.runs[id].length
					terms = append(terms, unit.Term{Name: f.runName(id) + ": without its return", Value: f.runs[id].length.MM(), Unit: "mm", Of: string(harness.KindRun), ID: id})
				}
			}
			if apart <= returnApart {
				continue
			}
			w := f.wires[f.nodes[f.at[back.ID]].wires[0]]
			ref := harness.Ref{Kind: harness.KindTerminal, ID: t.ID}
			x := harness.Finding{Rule: ReturnApart, Severity: harness.Warn, Subject: ref, Also: []harness.Ref{{Kind: harness.KindWire, ID: w.ID}},
				What: f.net.Name(t) + " goes one way and its return " + w.name() + " another", Got: f.length(apart), Limit: f.length(returnApart),
				Source: "workmanship standards: a signal runs in one bundle with its return; the length is our choice",
				Terms:  append(terms, unit.Term{Name: "apart", Formula: "sum of the runs", Value: apart.MM(), Unit: "mm"}),
				Fix:    harness.Fix{At: harness.Ref{Kind: harness.KindWire, ID: w.ID}, Field: "via", Do: "lead both the same way"}}
			net := f.nodes[f.at[back.ID]].net
			k, had := found[net]
			switch {
			case !had:
				found[net], far[net] = len(f.all), apart
				f.add(x)
			case apart > far[net]:
				x.Also = append(x.Also, f.all[k].Subject)
				f.all[k], far[net] = x, apart
			default:
				f.all[k].Also = append(f.all[k].Also, ref)
			}
			break
		}
	}
}

// returnApart is how far a signal may run without its return. Source: our choice: a branch at each end.
const returnApart = 300 * unit.Millimetre

// returnOf returns the terminal of a sensor that its current comes back by.
func (f *facts) returnOf(terminals []harness.Terminal) harness.Terminal {
	for _, t := range terminals {
		if n := f.at[t.ID]; len(f.nodes[n].wires) > 0 && (f.signal(t) == harness.SensorGround || t.Name == "return" && f.nets[f.nodes[n].net].kind == signalNet) {
			return t
		}
	}
	return harness.Terminal{}
}

// home returns the runs from a terminal over wires to the controller, nil where none leads there.
func (f *facts) home(at int) (runs []string) {
	by := map[int]int{at: -1}
	for open := []int{at}; len(open) > 0; open = open[1:] {
		n := open[0]
		if _, led := f.net.Lead(f.nodes[n].terminal.ID); led {
			for w := by[n]; w >= 0; w = by[n] {
				runs = append(runs, f.wires[w].runs...)
				n = f.far(w, n)
			}
			return runs
		}
		for _, w := range f.nodes[n].wires {
			if far := f.far(w, n); far != n {
				if _, had := by[far]; !had {
					by[far] = w
					open = append(open, far)
				}
			}
		}
	}
	return nil
}
