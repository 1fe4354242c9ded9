package steps

import (
	"cmp"
	"strings"

	"loomwright/calc/bundle"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/supply"
	"loomwright/calc/tag"
)

// ends are the ends of wires, one at a time, place after place: trimmed, threaded, crimped and pulled, shrunk and put in. The
// first crimp of a terminal on a size is a scrap sample.
func (m *maker) ends() {
	sampled := map[string]bool{}
	codes := map[string]string{}
	for _, t := range m.b.Tags.All() {
		if !t.Retired && t.On == harness.KindWire {
			codes[t.Subject+string(t.End)] = t.Code
		}
	}
	at := map[string][]func(){}
	for _, w := range m.wires {
		if m.inner(w) {
			continue
		}
		for _, end := range [2]harness.TagEnd{harness.FromEnd, harness.ToEnd} {
			crimp := supply.EndOf(m.b, w, end)
			if crimp == supply.NoCrimp {
				continue
			}
			e := w.From
			if end == harness.ToEnd {
				e = w.To
			}
			place, _ := m.b.EndPlace(e)
			at[place] = append(at[place], func() { m.oneEnd(w, e, end, crimp, place, codes[w.ID+string(end)], sampled) })
		}
	}
	for _, place := range m.places {
		for _, make := range at[place] {
			make()
		}
	}
}

func (m *maker) oneEnd(w harness.Wire, e harness.End, end harness.TagEnd, crimp supply.Crimped, place, code string, sampled map[string]bool) {
	_, lead := m.lead(w)
	big := w.Name + " at " + m.name(place)
	size, _ := tag.Conductor(m.b, w)
	detail := m.conductor(w)
	s := Step{Phase: Ends, Big: big, Detail: detail, Place: place}
	sys := m.b.Settings.Unit

	trim := s
	trim.What = "Trim to fit: hold it in place, leave room for one more crimp"
	if lead {
		trim.Does, trim.Of = TrimsWire, w.ID
		if l, off, ok := m.trimTo(w); ok {
			trim.Length = l
			trim.What = "Trim to " + l.Grouped(sys) + ", counted from the connector"
			trim.Detail += ". Measured tail against plan: " + max(off, 0).Grouped(sys) + " comes off"
		}
		if w.Trimmed != nil {
			trim.Done, trim.At, trim.What = true, w.Trimmed.At, "Trimmed to "+w.Trimmed.Length.Grouped(sys)
		}
	} else if r := m.length(w); r.Known() && r.Tail > 0 {
		trim.Detail += ". Planned tail: " + r.Tail.Grouped(sys)
	}
	m.add(trim, "trim", w.ID, string(end))

	thread := s
	thread.What = "Thread on the tag tube " + strings.TrimSpace(w.Name+" "+tag.Format(code)) + ", then " + m.sealOrBoot(e, place, crimp)
	if d, _, ok := cut.Outside(m.b, w); ok {
		if c := bundle.Choose(bundle.Shrink2, d.MM(), 0, m.sizes, bundle.Fit{}); c.OK {
			thread.Detail += ". The tube: heat-shrink " + c.Stock.Name
		}
	}
	m.add(thread, "tube", w.ID, string(end))

	if key := string(crimp) + " " + size; size != "" && !sampled[key] {
		sampled[key] = true
		sample := Step{Phase: Ends, Big: string(crimp) + ", " + size, What: "First a sample: crimp one on scrap, pull it, write down what it held", Place: place,
			Does: PullSample, Crimp: string(crimp), Size: size}
		for _, x := range m.b.Samples.All() {
			if x.Terminal == sample.Crimp && x.Size == size && x.Good() {
				sample.Done, sample.At = true, x.At
			}
		}
		m.add(sample, "sample", string(crimp), size)
	}

	press := s
	press.Crimp, press.Size = string(crimp), size
	press.What = "Crimp, look at it, tug it by hand"
	if tool := m.tool(press.Crimp, size); tool != "" {
		press.Detail += ", " + tool
	}
	m.add(press, "crimp", w.ID, string(end))

	insert := s
	insert.What = "Shrink the tag. Put it into " + cmp.Or(m.end(e), m.name(place)) + ": a click, tug back"
	insert.Caution = hotCaution
	if crimp == supply.RingCrimp || crimp == supply.FerruleEnd {
		insert.What = "Shrink the tag. Fix it at " + cmp.Or(m.end(e), m.name(place)) + " and tug"
	}
	m.add(insert, "insert", w.ID, string(end))
}

// sealOrBoot is what goes on before the terminal.
func (m *maker) sealOrBoot(e harness.End, place string, crimp supply.Crimped) string {
	if crimp != supply.PinCrimp {
		return "its boot"
	}
	t, _ := m.b.Terminals.Get(e.Terminal)
	for _, c := range m.b.Connectors.All() {
		if c.Place == place && c.Name == t.Connector {
			if c.Sealed {
				return "seal and boot"
			}
			return "the boot, if there is one"
		}
	}
	return "seal and boot, if the connector has them"
}

// tool is the tool of the last sample that held.
func (m *maker) tool(crimp, size string) (tool string) {
	for _, x := range m.b.Samples.All() {
		if x.Terminal == crimp && x.Size == size && x.Good() && x.Tool != "" {
			tool = "tool: " + x.Tool
		}
	}
	return tool
}

// last is what is kept for later, what closes the connectors, and the tags on bundles.
func (m *maker) last() {
	for _, p := range m.net.Kept() {
		m.add(Step{Phase: Kept, Big: p.Cavity, What: p.Do, Detail: p.Lead.Does(), Place: cmp.Or(p.Lead.Parked, p.Terminal.Place)}, "kept", p.Lead.ID)
	}
	used := map[string]bool{}
	for _, w := range m.wires {
		for _, e := range [2]harness.End{w.From, w.To} {
			if place, ok := m.b.EndPlace(e); ok && e.Joint == "" {
				used[place] = true
			}
		}
	}
	for _, place := range m.places {
		p, _ := m.b.Places.Get(place)
		switch {
		case !used[place]:
		case p.Kind == harness.Device, p.Kind == harness.Inline, p.Kind == harness.Controller:
			m.add(Step{Phase: Plugs, Big: m.name(place), What: "A plug in every empty cavity, the lock closed. Nothing is plugged in yet", Place: place}, "plugs", place)
		}
	}
	for _, place := range m.places {
		for _, t := range m.b.Tags.All() {
			at := t.Subject
			if c, ok := m.b.Connectors.Get(at); ok {
				at = c.Place
			}
			if at == place && (t.On == harness.KindPlace || t.On == harness.KindConnector) && !t.Retired {
				m.add(Step{Phase: LastTag, Big: m.name(place), What: "Put its tag on: " + tag.Format(t.Code), Place: place}, "tag", t.ID)
			}
		}
	}
	for _, t := range m.b.Tags.All() {
		if r, ok := m.b.Runs.Get(t.Subject); ok && t.On == harness.KindRun && !t.Retired {
			m.add(Step{Phase: LastTag, Big: m.name(r.A) + " to " + m.name(r.B), What: "Put its tag on: " + tag.Format(t.Code), Run: r.ID, Place: m.outer(r)}, "tag", t.ID)
		}
	}
}
