package tag

import (
	"hash/fnv"
	"slices"
	"strconv"
	"strings"
	"sync"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Label is what a tag says in words. An empty field is not known.
type Label struct {
	Tag      harness.Tag
	Kind     Kind
	Wire     bool   // of kind OnWire
	Name     string // of the wire, the place, or the run's two ends
	Function string // of a wire; of a place its kind
	This     string // the end it sits on
	Far      string // the other end of a wire
	Size     string
	Colour   string
	Loom     string // of a bundle
	Plug     string // of a connector: its name, or those of all at its place
	Ways     int    // of a connector: its cavities that are known
	Deleted  bool   // its subject was deleted
}

// Kind is what a tag sits on, which says how it is made.
type Kind string

// The kinds of tags.
const (
	OnWire      Kind = "wire"      // on one end of it
	OnBundle    Kind = "bundle"    // round a run
	OnConnector Kind = "connector" // tied to a controller, a device or an inline connector
	OnPlace     Kind = "place"     // at a split, a pass-through, a panel or a strip
)

// Describe returns what a tag says. It works for retired tags and for tags whose subject was deleted; ok is false
// if the build never had the subject.
func Describe(b *harness.Build, t harness.Tag) (l Label, ok bool) {
	l.Tag = t
	switch t.On {
	case harness.KindWire:
		w, found := b.Wires.Any(t.Subject)
		if !found {
			return l, false
		}
		this, far := w.From, w.To
		if t.End == harness.ToEnd {
			this, far = w.To, w.From
		}
		l.Kind, l.Wire, l.Name, l.Function, l.Deleted = OnWire, true, w.Name, w.Function, w.Gone
		l.This, l.Far = EndName(b, this), EndName(b, far)
		l.Size, l.Colour = Conductor(b, w)
	case harness.KindPlace:
		p, found := b.Places.Any(t.Subject)
		if !found {
			return l, false
		}
		l.Kind, l.Name, l.Function, l.This, l.Deleted = OnPlace, p.Name, string(p.Kind), p.Name, p.Gone
		switch p.Kind {
		case harness.Controller, harness.Device, harness.Inline:
			l.Kind = OnConnector
			l.Plug, l.Ways = plugs(b, func(t harness.Terminal) bool { return t.Place == p.ID })
		}
	case harness.KindConnector:
		c, found := b.Connectors.Any(t.Subject)
		if !found {
			return l, false
		}
		name := placeName(b, c.Place)
		l.Kind, l.Name, l.Function, l.This, l.Deleted = OnConnector, name+" "+c.Name, "connector", name, c.Gone
		_, l.Ways = plugs(b, func(t harness.Terminal) bool { return t.Place == c.Place && t.Connector == c.Name })
		l.Plug, l.Ways = c.Name, max(l.Ways, c.Rows*c.Columns)
	case harness.KindRun:
		r, found := b.Runs.Any(t.Subject)
		if !found {
			return l, false
		}
		from, to := placeName(b, r.A), placeName(b, r.B)
		loom, _ := b.Looms.Any(r.Loom)
		l.Kind, l.Loom, l.Name, l.Function, l.This, l.Far, l.Deleted = OnBundle, loom.Name, from+" to "+to, "run", from, to, r.Gone
	default:
		return l, false
	}
	return l, true
}

// plugs returns the names of the connectors that some terminals are in, in their order, and how many terminals those are.
func plugs(b *harness.Build, in func(harness.Terminal) bool) (names string, ways int) {
	var all []string
	for _, t := range b.Terminals.All() {
		if !in(t) {
			continue
		}
		ways++
		if t.Connector != "" && !slices.Contains(all, t.Connector) {
			all = append(all, t.Connector)
		}
	}
	return strings.Join(all, ", "), ways
}

// Stamp is a short word for what a tag says: another text, another word, but for one in four thousand million.
//
// Source: FNV-1a of 32 bits, as in draft-eastlake-fnv.
func (l Label) Stamp() string {
	h := fnv.New32a()
	for _, s := range []string{l.Name, l.Function, l.This, l.Far, l.Size, l.Colour} {
		h.Write([]byte(s + "\x00"))
	}
	// What tags of wires and places do not say stays out, so that those printed long ago are not called out of date.
	switch l.Tag.On {
	case harness.KindRun:
		h.Write([]byte(l.Loom))
	case harness.KindConnector:
		h.Write(strconv.AppendInt([]byte(l.Plug), int64(l.Ways), 10))
	}
	return strconv.FormatUint(uint64(h.Sum32()), 36)
}

// Subject returns the fields of a words tag.
func (l Label) Subject() Subject {
	s := Subject{Code: l.Tag.Code, Function: l.Function, From: l.This, To: l.Far, Size: l.Size, Colour: l.Colour}
	if !l.Wire {
		s.Function, s.From = l.Name+" "+l.Function, ""
	}
	return s
}

// EndName returns where a wire ends, as it is printed: "Controller · A14", "Coolant · 1", "joint S3"; "" if nothing
// is chosen. What was deleted keeps its name.
func EndName(b *harness.Build, e harness.End) string {
	if e.Joint != "" {
		j, _ := b.Joints.Any(e.Joint)
		if j.Name == "" {
			return "joint"
		}
		return "joint " + j.Name
	}
	t, ok := b.Terminals.Any(e.Terminal)
	place := e.Place
	if ok && t.Place != "" {
		place = t.Place
	}
	name := placeName(b, place)
	if pin := t.Connector + t.Name; pin != "" {
		if name != "" {
			name += " · "
		}
		name += pin
	}
	return name
}

func placeName(b *harness.Build, id string) string {
	p, _ := b.Places.Any(id)
	return p.Name
}

// Conductor returns the size and the colour letters of a wire, "0.5 mm2" and "YE/GN"; what the wire itself does not
// say is that of the lead it is made of. Empty is not known.
func Conductor(b *harness.Build, w harness.Wire) (size, colour string) {
	lead, _ := b.Leads.Any(w.Lead)
	c := unit.Colour{Base: w.Base, Tracer: w.Tracer}
	if c.Base == "" {
		c = unit.Colour{Base: lead.Base, Tracer: lead.Tracer}
	}
	return Size(b, w), c.Code()
}

// Size is the size that Conductor returns.
func Size(b *harness.Build, w harness.Wire) string {
	size := w.Size
	if size == "" {
		lead, _ := b.Leads.Any(w.Lead)
		size = lead.Size
	}
	if s, err := unit.ParseSize(size); err == nil {
		return s.String()
	}
	return size
}

// bundled are the places that get a tag of their own: where a hand reaches a connector, and where wires part.
//
// Source: common practice (one tag per connector and per branch, one each side of a bulkhead).
var bundled = sync.OnceValue(func() map[harness.PlaceKind]bool {
	return map[harness.PlaceKind]bool{
		harness.Controller: true, harness.Device: true, harness.Inline: true, harness.Split: true,
		harness.PassThrough: true, harness.Panel: true, harness.TerminalStrip: true,
	}
})

// Offered returns the tags that a build can have beyond those of Missing, without id and code: one on each run that carries
// wires, and one on each connector of a place with several. carries reports whether a run does.
func Offered(b *harness.Build, carries func(run string) bool) (bundles, connectors []harness.Tag) {
	have, plugs := map[string]bool{}, map[string]int{}
	for _, t := range b.Tags.All() {
		have[t.Subject] = have[t.Subject] || !t.Retired
	}
	for _, r := range b.Runs.All() {
		if !have[r.ID] && carries(r.ID) {
			bundles = append(bundles, harness.Tag{On: harness.KindRun, Subject: r.ID})
		}
	}
	all := b.Connectors.All()
	for _, c := range all {
		plugs[c.Place]++
	}
	for _, c := range all {
		if _, ok := b.Places.Get(c.Place); ok && plugs[c.Place] > 1 && !have[c.ID] {
			connectors = append(connectors, harness.Tag{On: harness.KindConnector, Subject: c.ID})
		}
	}
	return bundles, connectors
}

// Missing returns the tags that the build should have and has not, without id and code: one for each end of a wire
// and one for each connector, branch, pass-through and panel. The order is that of wires, then of places.
func Missing(b *harness.Build) []harness.Tag {
	type key struct {
		on      harness.Kind
		subject string
		end     harness.TagEnd
	}
	have := map[key]bool{}
	for _, t := range b.Tags.All() {
		if !t.Retired {
			have[key{t.On, t.Subject, t.End}] = true
		}
	}
	var out []harness.Tag
	add := func(on harness.Kind, subject string, end harness.TagEnd) {
		if !have[key{on, subject, end}] {
			out = append(out, harness.Tag{On: on, Subject: subject, End: end})
		}
	}
	for _, w := range b.Wires.All() {
		add(harness.KindWire, w.ID, harness.FromEnd)
		add(harness.KindWire, w.ID, harness.ToEnd)
	}
	for _, p := range b.Places.All() {
		if bundled()[p.Kind] {
			add(harness.KindPlace, p.ID, "")
		}
	}
	return out
}
