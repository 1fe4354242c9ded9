package session

import (
	"loomwright/calc/harness"
	"loomwright/calc/suspect"
)

// Suspects returns the wiring of the open build as what can fail. It is made once and kept until the wiring changes.
func (s *Session) Suspects() *suspect.Model {
	c := &s.cache
	g := s.Graph()
	rev := c.of(harness.KindWire, harness.KindLead, harness.KindJoint, harness.KindTerminal, harness.KindPart, harness.KindPlace, harness.KindTap, harness.KindConnector, harness.KindRun)
	if c.suspects == nil || c.suspectsOf != s.B() || c.suspectsRev != rev {
		c.suspects = suspect.New(s.B(), func(w harness.Wire) (places, runs []string) {
			p, err := g.Wire(w)
			if err != nil {
				return nil, nil
			}
			return p.Places, p.Runs
		})
		c.suspectsOf, c.suspectsRev = s.B(), rev
	}
	return c.suspects
}
