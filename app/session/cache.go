package session

import (
	"loomwright/calc/harness"
	"loomwright/storage"
)

// cache holds what is computed from the build, each with the revision of the tables it was computed from.
type cache struct {
	table map[harness.Kind]int // counts the changes of each kind
	all   int                  // counts the changes of everything at once
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
