package session

import (
	"loomwright/calc/bundle"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/supply"
	"loomwright/calc/survey"
	"loomwright/calc/suspect"
	"loomwright/storage"
)

// cache holds what is computed from the build, each with the revision of the tables it was computed from.
type cache struct {
	table map[harness.Kind]int // counts the changes of each kind

	settler   cut.Settler
	graph     *route.Graph
	routesRev int
	wiresRev  int
	cuts      map[string]cut.Result // by wire
	cutsGraph *route.Graph
	cutsRev   int

	supply    supply.Facts
	supplyRev int

	looked      looked
	suspects    *suspect.Model
	suspectsOf  *harness.Build
	suspectsRev int

	summary      Summary
	summaryStamp string
}

// touch notes which tables a line changed.
func (c *cache) touch(lines ...storage.Line) {
	if c.table == nil {
		c.table = map[harness.Kind]int{}
	}
	for _, l := range lines {
		for _, ch := range l.Changes {
			c.table[ch.Kind]++
			if ch.Kind == harness.KindWire {
				delete(c.cuts, ch.ID)
			}
		}
	}
}

// of is the revision of some tables together: it grows with every change of any of them.
func (c *cache) of(kinds ...harness.Kind) int {
	n := 0
	for _, k := range kinds {
		n += c.table[k]
	}
	return n
}

// Lengths returns what the readings say of every run of the open build, corrected for its bundles.
func (s *Session) Lengths() *survey.Lengths { return s.Graph().Lengths() }

// Bundles returns what passes each run of the open build, in the order of runs.
func (s *Session) Bundles() []bundle.Packed {
	s.Graph()
	return s.cache.settler.Bundles()
}

// Foresee packs one bundle ahead that a wire would lie in if it were as w says, and reports whether there was one to pack: packing
// is what takes longest of an edit.
func (s *Session) Foresee(w harness.Wire) bool {
	s.Graph()
	d, _, ok := cut.Outside(s.B(), w)
	return ok && s.cache.settler.Foresee(w.ID, d)
}

// ofGraph is the revision of the tables that routes and bundles come from.
func (c *cache) ofGraph() (routes, wires int) {
	return c.of(harness.KindSettings, harness.KindRun, harness.KindReading, harness.KindPlace, harness.KindLoom),
		c.of(harness.KindWire, harness.KindLead, harness.KindJoint, harness.KindTerminal, harness.KindCaliper)
}

// GraphReady reports whether Graph has its answer already.
func (s *Session) GraphReady() bool {
	routes, wires := s.cache.ofGraph()
	return s.cache.graph != nil && s.cache.routesRev == routes && s.cache.wiresRev == wires
}

// Graph returns the routes of the open build.
func (s *Session) Graph() *route.Graph {
	c := &s.cache
	routes, wires := c.ofGraph()
	if c.graph == nil || c.routesRev != routes || c.wiresRev != wires {
		c.graph = c.settler.Settle(s.B(), c.graph == nil || c.routesRev != routes, c.graph == nil || c.wiresRev != wires)
		c.routesRev, c.wiresRev = routes, wires
	}
	return c.graph
}

// Cut returns the length of a wire as it stands in the open build, or that of one that is being drawn and has no id
// yet. Each is computed once and kept until something it depends on changes.
func (s *Session) Cut(w harness.Wire) cut.Result {
	g := s.Graph()
	rev := s.cache.of(harness.KindSettings, harness.KindJoint, harness.KindTerminal, harness.KindLead)
	if s.cache.cuts == nil || s.cache.cutsGraph != g || s.cache.cutsRev != rev {
		s.cache.cuts, s.cache.cutsGraph, s.cache.cutsRev = map[string]cut.Result{}, g, rev
	}
	if r, ok := s.cache.cuts[w.ID]; ok && w.ID != "" {
		return r
	}
	r := cut.Length(s.B(), g, w)
	if w.ID != "" {
		s.cache.cuts[w.ID] = r
	}
	return r
}

// Supply returns from what the added wires of the open build are cut, with what steps and shopping are worked out from. It is kept
// until something it depends on changes.
func (s *Session) Supply() supply.Facts {
	g := s.Graph()
	rev := s.cache.of(harness.KindSettings, harness.KindJoint, harness.KindTerminal, harness.KindLead, harness.KindWire, harness.KindStock)
	if c := &s.cache; c.supply.Graph != g || c.supply.Build != s.B() || c.supplyRev != rev {
		c.supply, c.supplyRev = supply.Facts{Build: s.B(), Graph: g, Bundles: s.Bundles(), Plan: supply.Plan(s.B(), g, s.Cut)}, rev
	}
	return s.cache.supply
}
