package wires

import (
	"reflect"
	"slices"
	"strings"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/sorting"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
)

// entry is one wire as the list shows and searches it.
type entry struct {
	wire   harness.Wire
	text   string // all that can be searched, in lower case
	fold   string // its name, as names are compared
	ends   string // "Controller A 14 > Coolant 1"
	size   string // canonical; empty is not known
	base   string
	tracer string
	places [2]string
	tagged bool // a tag on each end
}

// index is every living wire of a build, ready to be searched. It is made again when one of the tables it was made from
// has changed.
type index struct {
	all   []entry
	sizes []string // all that occur, thin first
	made  stamp
}

// stamp tells one state of the tables from another: a table makes a new slice of its records after every change, and
// holding the address of the old one keeps it from being given away again.
type stamp struct {
	wires     *harness.Wire
	places    *harness.Place
	terminals *harness.Terminal
	joints    *harness.Joint
	looms     *harness.Loom
	leads     *harness.Lead
	tags      *harness.Tag
	n         [7]int // a table that is empty has no address
}

func stampOf(b *harness.Build) stamp {
	var s stamp
	s.wires, s.n[0] = first(b.Wires.All())
	s.places, s.n[1] = first(b.Places.All())
	s.terminals, s.n[2] = first(b.Terminals.All())
	s.joints, s.n[3] = first(b.Joints.All())
	s.looms, s.n[4] = first(b.Looms.All())
	s.leads, s.n[5] = first(b.Leads.All())
	s.tags, s.n[6] = first(b.Tags.All())
	return s
}

// words is the stamp of what the words of an entry come from, its wire apart.
func (s stamp) words() stamp {
	s.wires, s.n[0], s.tags, s.n[6] = nil, 0, nil, 0
	return s
}

func first[T any](all []T) (*T, int) {
	if len(all) == 0 {
		return nil, 0
	}
	return &all[0], len(all)
}

// of returns the index of a build, made again if need be. Cost then: linear in wires and tags, little for a wire that is
// as it was.
func (x *index) of(b *harness.Build) *index {
	if now := stampOf(b); now != x.made || x.all == nil {
		*x = makeIndex(b, now, x)
	}
	return x
}

// makeIndex indexes a build. Of a wire that is as it was, in a build where nothing else changed that its words come from,
// it takes the entry from the index before.
func makeIndex(b *harness.Build, now stamp, before *index) index {
	old := map[string]*entry{}
	if before.made.words() == now.words() {
		for i := range before.all {
			old[before.all[i].wire.ID] = &before.all[i]
		}
	}
	tags := map[string]int{} // wire id to a bit for each end
	for _, t := range b.Tags.All() {
		if t.On == harness.KindWire && !t.Retired {
			tags[t.Subject] |= endBit(t.End)
		}
	}
	x := index{all: make([]entry, 0, b.Wires.Len()), made: now}
	sizes := map[string]bool{}
	for _, w := range b.Wires.All() {
		var e entry
		if was := old[w.ID]; was != nil && reflect.DeepEqual(was.wire, w) {
			e = *was
		} else {
			e = makeEntry(b, w)
		}
		e.tagged = tags[w.ID] == 3
		if e.size != "" && !sizes[e.size] {
			sizes[e.size] = true
			x.sizes = append(x.sizes, e.size)
		}
		x.all = append(x.all, e)
	}
	sorting.By(x.sizes, compareSizes)
	return x
}

func endBit(end harness.TagEnd) int {
	switch end {
	case harness.FromEnd:
		return 1
	case harness.ToEnd:
		return 2
	}
	return 0
}

// compareSizes orders sizes by area, and what is no size by its text, after them.
func compareSizes(a, b string) int {
	sa, errA := unit.ParseSize(a)
	sb, errB := unit.ParseSize(b)
	switch {
	case errA != nil && errB != nil:
		return strings.Compare(a, b)
	case errA != nil:
		return 1
	case errB != nil:
		return -1
	}
	return sa.Compare(sb)
}

func makeEntry(b *harness.Build, w harness.Wire) entry {
	e := entry{wire: w, fold: harness.FoldName(w.Name)}
	from, to := kit.EndName(b, w.From), kit.EndName(b, w.To)
	e.ends = from + " > " + to
	e.size, _ = tag.Conductor(b, w)
	colour := colourOf(b, w)
	e.base, e.tracer = colour.Base, colour.Tracer
	e.places[0], _ = b.EndPlace(w.From)
	e.places[1], _ = b.EndPlace(w.To)

	lead, _ := b.Leads.Any(w.Lead)
	words := []string{
		w.Name, w.Function, from, to, tag.EndName(b, w.From), tag.EndName(b, w.To), e.size, colour.String(), colour.Code(),
		lead.Legend, w.Twist, w.Note,
	}
	for _, loom := range w.Looms {
		words = append(words, kit.LoomName(b, loom))
	}
	e.text = strings.ToLower(strings.Join(words, "\n"))
	return e
}

// colourOf is the colour of a wire: its own, or that of the lead it is made of.
func colourOf(b *harness.Build, w harness.Wire) unit.Colour {
	if w.Base == "" && w.Lead != "" {
		lead, _ := b.Leads.Any(w.Lead)
		return unit.Colour{Base: lead.Base, Tracer: lead.Tracer}
	}
	return unit.Colour{Base: w.Base, Tracer: w.Tracer}
}

// Which wires a list shows beside what is searched.
const (
	kindAdded = "added"
	kindLead  = "lead"

	noRoute     = "no route"
	notMeasured = "not measured"
	tooShort    = "short"
	notTagged   = "not tagged"
	notCut      = "not cut"
)

// filter is what the list shows. The zero value shows everything.
type filter struct {
	Query   string `json:"query,omitzero"`
	Kind    string `json:"kind,omitzero"`    // kindAdded or kindLead
	Problem string `json:"problem,omitzero"` // noRoute to notCut
	Loom    string `json:"loom,omitzero"`    // that the wire may use
	Size    string `json:"size,omitzero"`
	Place   string `json:"place,omitzero"` // that the wire ends at
}

// chosen returns how many filters are set, the search apart.
func (f filter) chosen() int {
	n := 0
	for _, v := range []string{f.Kind, f.Problem, f.Loom, f.Size, f.Place} {
		if v != "" {
			n++
		}
	}
	return n
}

// find returns the entries that pass, in the order of wires, but the wire whose name is what is searched first. Every
// word of the search must occur. stateOf is asked only for the problems that need the way of a wire. Cost: linear in
// the wires and their text.
func (x *index) find(f filter, stateOf func(w harness.Wire) string) []*entry {
	words := strings.Fields(strings.ToLower(f.Query))
	fold := harness.FoldName(f.Query)
	var out []*entry
	for i := range x.all {
		e := &x.all[i]
		if !e.has(f) || !e.contains(words) && (fold == "" || e.fold != fold) || !e.is(f.Problem, stateOf) {
			continue
		}
		out = append(out, e)
	}
	if fold != "" {
		if i := slices.IndexFunc(out, func(e *entry) bool { return e.fold == fold }); i > 0 {
			named := out[i]
			copy(out[1:i+1], out[:i])
			out[0] = named
		}
	}
	return out
}

func (e *entry) contains(words []string) bool {
	for _, w := range words {
		if !strings.Contains(e.text, w) {
			return false
		}
	}
	return true
}

// has tells whether a wire passes the filters that its records answer.
func (e *entry) has(f filter) bool {
	switch {
	case f.Kind == kindAdded && e.wire.Lead != "",
		f.Kind == kindLead && e.wire.Lead == "",
		f.Loom != "" && !slices.Contains(e.wire.Looms, f.Loom),
		f.Size != "" && e.size != f.Size,
		f.Place != "" && e.places[0] != f.Place && e.places[1] != f.Place:
		return false
	}
	return true
}

// is tells whether a wire has a problem.
func (e *entry) is(problem string, stateOf func(w harness.Wire) string) bool {
	switch problem {
	case "":
		return true
	case notTagged:
		return !e.tagged
	case notCut:
		return e.wire.Lead == "" && e.wire.Cut == nil
	}
	return stateOf(e.wire) == problem
}
