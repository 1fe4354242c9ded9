package rules

import (
	"strconv"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

// unknowns tells what was not checked, and why: one finding for each thing that a person would have to say.
func (f *facts) unknowns() {
	f.silent()
	f.each("size", "no size is known", "say how thick it is", func(w *wireFacts) bool { return !w.size.Known() && w.amps > 0 })
	f.each("size", "its size is in no table", "choose a size that is sold", func(w *wireFacts) bool {
		_, err := wire.Of(w.size, wire.Usual)
		return w.size.Known() && err != nil
	})
	f.each("insulation", "nobody named its insulation: what it may carry is judged as if it were the best, of "+unit.Shown(bestInsulation)+" °C", "say what class its insulation is",
		func(w *wireFacts) bool { return w.insulation == 0 && (w.heat >= fromAmps || w.hot > 100) })
	f.each("", "its wires make a circle, so what flows in each is not known", "look whether both ways are meant", func(w *wireFacts) bool {
		n := &f.nets[f.nodes[w.from].net]
		return n.loop && n.kind == feedNet
	})
}

// silent tells of what draws nobody knows how much: one finding for all devices of a kind, which one tap gives what is
// typical of it.
func (f *facts) silent() {
	told := map[string]bool{}
	at := map[string]int{} // a kind of device to its finding
	for i := range f.nodes {
		id := f.nodes[i].blame
		if id == "" || told[id] || f.nets[f.nodes[i].net].kind == signalNet || f.circuitSays(i) {
			continue
		}
		told[id] = true
		p := f.places[id]
		ref := harness.Ref{Kind: harness.KindPlace, ID: id}
		d, known := circuit.DeviceOf(p.Device)
		known = known && d.Amps.Known()
		k, had := at[p.Device]
		if !had || !known {
			k = len(f.all)
			at[p.Device] = k
			f.add(harness.Finding{Rule: NotChecked, Severity: harness.Note, Subject: ref, What: p.Name, Source: common,
				Fix: harness.Fix{At: ref, Field: "amps", Do: "say how many amperes it draws"}})
		} else {
			f.all[k].Also = append(f.all[k].Also, ref)
		}
		x := &f.all[k]
		if known {
			now, amps := p, d.Amps.High
			now.Amps = &amps
			x.Got, x.Source = "typical: "+typical(d.Amps), d.Source
			x.Fix.Do = "take the most that is typical of its kind, " + amperes(amps)
			x.Fix.Put = append(x.Fix.Put, harness.Put{Ref: ref, Record: now})
		}
	}
	for i := range f.all {
		if x := &f.all[i]; x.Rule == NotChecked && x.Fix.Field == "amps" {
			if n := len(x.Also); n > 0 {
				x.What += " and " + strconv.Itoa(n) + " more of its kind"
			}
			x.What += ": what feeds it is checked without it, because nobody said how much it draws"
		}
	}
}

func typical(r circuit.Range) string {
	if r.Low == r.High {
		return amperes(r.High)
	}
	return unit.Shown(r.Low) + " to " + amperes(r.High)
}

// circuitSays reports whether the circuit at a node says what it draws.
func (f *facts) circuitSays(at int) bool {
	for _, w := range f.nodes[at].wires {
		if c, ok := f.b.Circuits.Get(f.wires[w].Circuit); ok && c.Amps != nil {
			return true
		}
	}
	return false
}

// each tells of all wires that something is not known of in one finding.
func (f *facts) each(field, because, do string, is func(w *wireFacts) bool) {
	var all []harness.Ref
	first := ""
	for i := range f.wires {
		if w := &f.wires[i]; is(w) {
			all = append(all, harness.Ref{Kind: harness.KindWire, ID: w.ID})
			if first == "" {
				first = w.name()
			}
		}
	}
	if len(all) == 0 {
		return
	}
	if len(all) > 1 {
		first += " and " + count(len(all)-1, "more wire")
	}
	f.add(harness.Finding{Rule: NotChecked, Severity: harness.Note, Subject: all[0], Also: all[1:], What: first + ": not checked, because " + because, Source: common,
		Got: count(len(all), "wire"), Fix: harness.Fix{At: all[0], Field: field, Do: do}})
}
