package session

import (
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/storage"
)

// cache holds what is computed from the build, each with the revision of the tables it was computed from.
type cache struct {
	table map[harness.Kind]int // counts the changes of each kind

	lengths    *survey.Lengths
	lengthsRev int
	graph      *route.Graph
	graphRev   int
	cuts       map[string]cut.Result // by wire
	cutsRev    int

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

// Lengths returns what the readings say of every run of the open build.
func (s *Session) Lengths() *survey.Lengths {
	rev := s.cache.of(harness.KindSettings, harness.KindRun, harness.KindReading, harness.KindPlace)
	if s.cache.lengths == nil || s.cache.lengthsRev != rev {
		s.cache.lengths, s.cache.lengthsRev = survey.Adjust(s.B(), nil), rev
	}
	return s.cache.lengths
}

// Graph returns the routes of the open build.
func (s *Session) Graph() *route.Graph {
	rev := s.cache.of(harness.KindSettings, harness.KindRun, harness.KindReading, harness.KindPlace, harness.KindLoom, harness.KindJoint,
		harness.KindTerminal)
	if s.cache.graph == nil || s.cache.graphRev != rev {
		s.cache.graph, s.cache.graphRev = route.New(s.B(), s.Lengths()), rev
	}
	return s.cache.graph
}

// Cut returns the length of a wire as it stands in the open build, or that of one that is being drawn and has no id
// yet. Each is computed once and kept until something it depends on changes.
func (s *Session) Cut(w harness.Wire) cut.Result {
	rev := s.cache.of(harness.KindSettings, harness.KindRun, harness.KindReading, harness.KindPlace, harness.KindLoom,
		harness.KindJoint, harness.KindTerminal, harness.KindLead)
	if s.cache.cuts == nil || s.cache.cutsRev != rev {
		s.cache.cuts, s.cache.cutsRev = map[string]cut.Result{}, rev
	}
	if r, ok := s.cache.cuts[w.ID]; ok && w.ID != "" {
		return r
	}
	r := cut.Length(s.B(), s.Graph(), w)
	if w.ID != "" {
		s.cache.cuts[w.ID] = r
	}
	return r
}
