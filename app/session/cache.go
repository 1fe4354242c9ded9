package session

import (
	"fmt"

	"loomwright/calc/harness"
	"loomwright/calc/survey"
	"loomwright/storage"
)

// cache holds what is computed from the build, each with the revision of the tables it was computed from.
type cache struct {
	table map[harness.Kind]int // counts the changes of each kind
	all   int                  // counts the changes of everything at once

	lengths    *survey.Lengths
	lengthsRev int
}

// touch notes which tables a line changed.
func (c *cache) touch(lines ...storage.Line) {
	if c.table == nil {
		c.table = map[harness.Kind]int{}
	}
	for _, l := range lines {
		if l.Undoes != 0 || len(l.Seen) > 0 {
			c.all++
		}
		for _, ch := range l.Changes {
			c.table[ch.Kind]++
		}
	}
}

// of is the revision of some tables together: it grows with every change of any of them.
func (c *cache) of(kinds ...harness.Kind) int {
	n := c.all
	for _, k := range kinds {
		n += c.table[k]
	}
	return n
}

// Lengths returns what the readings say of every run of the open build.
func (s *Session) Lengths() *survey.Lengths {
	rev := s.cache.of(harness.KindRun, harness.KindReading, harness.KindPlace)
	if s.cache.lengths == nil || s.cache.lengthsRev != rev {
		s.cache.lengths, s.cache.lengthsRev = survey.Latest(s.B()), rev
	}
	return s.cache.lengths
}

// Summary says in a few lines how far the open build is.
func (s *Session) Summary() []string {
	b := s.B()
	n, of := s.Lengths().Measured()
	lines := []string{fmt.Sprintf("%d of %d runs measured, %d wires", n, of, b.Wires.Len())}
	for _, k := range s.Lengths().All() {
		if !k.Measured() {
			if r, ok := b.Runs.Get(k.Run); ok {
				a, _ := b.Places.Any(r.A)
				z, _ := b.Places.Any(r.B)
				lines = append(lines, fmt.Sprintf("Next: measure %s to %s", a.Name, z.Name))
			}
			break
		}
	}
	return lines
}
