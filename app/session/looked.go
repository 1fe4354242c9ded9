package session

import (
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/rules"
)

// looked is what the rules made of one state of the build.
type looked struct {
	build *harness.Build
	rev   int
	of    *rules.Looked

	net    *circuit.Net
	netRev int // of the tables that it comes from, wires apart
}

// LookedReady reports whether Looked has its answer already.
func (s *Session) LookedReady() bool {
	k := s.cache.looked
	return k.of != nil && k.build == s.B() && k.rev == s.cache.changes()
}

// Looked returns what the rules find in the open build and work out of its wires. It is kept until something changes.
func (s *Session) Looked() *rules.Looked {
	if s.LookedReady() {
		return s.cache.looked.of
	}
	k := &s.cache.looked
	rev := s.cache.changes() - s.cache.of(harness.KindWire)
	if k.net == nil || k.build != s.B() || k.netRev != rev {
		k.net, k.netRev = circuit.NewNet(s.B()), rev
	} else {
		k.net = k.net.Rewired()
	}
	k.build, k.rev = s.B(), s.cache.changes()
	k.of = rules.Look(s.B(), s.Graph(), rules.Options{Length: s.Cut, Net: k.net})
	return k.of
}

// changes counts the changes of all tables.
func (c *cache) changes() (n int) {
	for _, k := range c.table {
		n += k
	}
	return n
}
