package cut

import (
	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
	conductor "loomwright/calc/wire"
)

// Outside returns how thick a wire is over its insulation, and where that comes from: what a caliper says of the wire, then
// of its size in this build, then a table by its size and wall. What none of them has is not known: ok is false.
func Outside(b *harness.Build, w harness.Wire) (d unit.Length, source string, ok bool) {
	if w.Outside != nil && *w.Outside > 0 {
		return *w.Outside, conductor.SourceCaliper, true
	}
	size, err := unit.ParseSize(tag.Size(b, w))
	if err != nil {
		return 0, "", false
	}
	all := b.Calipers.All()
	for i := range all {
		if c := &all[i]; c.Size == size.String() {
			measured := unit.Length(0)
			if c.Outside != nil {
				measured = *c.Outside
			}
			return conductor.Diameter(size, conductor.Wall(c.Wall), measured)
		}
	}
	return conductor.Diameter(size, conductor.ThinWall, 0)
}
