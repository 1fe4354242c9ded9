package harness

import "loomwright/calc/unit"

// Cover is what goes over a loom: the name of a kind of package bundle, "slit tube", "braid" and so on.
type Cover string

// What a cover may be besides.
const (
	CoverOpen Cover = ""     // not chosen; of a run: that of its loom
	NoCover   Cover = "none" // the loom stays bare
)

// Zone is where a place lies, by the heat around it: one of package wire, or empty where it is told from what stands there.
type Zone string

// Caliper is how thick the wires of a size are over their insulation in this build: as measured, or else by the wall that
// their insulation has. It beats every table.
type Caliper struct {
	Record
	Size    string       `json:"size,omitzero"`    // canonical, see unit.Size.String
	Wall    string       `json:"wall,omitzero"`    // see package wire; empty is thin wall
	Outside *unit.Length `json:"outside,omitzero"` // as measured; nil is not measured
	At      string       `json:"at,omitzero"`      // RFC 3339, the phone's time, only for show
}

// CoverSize is one size of cover, heat-shrink or grommet that a person has or can buy. Where a build has one of a kind, the
// usual sizes of that kind do not count.
type CoverSize struct {
	Record
	Kind   Cover        `json:"kind,omitzero"`
	Name   string       `json:"name,omitzero"`
	Inside unit.Length  `json:"inside,omitzero"` // of heat-shrink as supplied, of braid at its widest
	Least  *unit.Length `json:"least,omitzero"`  // of heat-shrink after shrinking, of braid at its narrowest
	Wall   *unit.Length `json:"wall,omitzero"`   // after shrinking; nil is not known
	Hole   *unit.Length `json:"hole,omitzero"`   // of a grommet: the hole in the panel
	Mass   *float64     `json:"mass,omitzero"`   // grams a metre; nil is not known
	Order  float64      `json:"order,omitzero"`
}

func (c *CoverSize) place() float64 { return c.Order }
