package bundle

import (
	"cmp"
	"math"
	"slices"

	"loomwright/calc/sorting"
)

// Part is what lies side by side in a bundle: a wire, or a group of parts that is a bundle of its own, twisted or in a
// sleeve.
type Part struct {
	ID       string
	Diameter float64 // mm, of a wire; 0 is not known
	Wall     float64 // mm, of a group: of the sleeve round it, 0 where there is none
	Rank     float64 // higher is nearer the middle, among parts of the same diameter; see Lay
	Parts    []Part  // of a group
}

// Circle is one part where it lies.
type Circle struct {
	ID       string
	At       Point   // mm, from the middle of the whole bundle
	Diameter float64 // mm, over its sleeve
	Wall     float64
	Depth    int  // 0 lies in the bundle itself, 1 in a group of it, and so on
	Group    bool // others lie in it; they follow it
}

// Bundle is parts packed together.
type Bundle struct {
	Diameter float64  // mm; 0 if nothing in it has a known diameter
	Circles  []Circle // each group before what lies in it
	Unknown  []string // parts with no known diameter, which the diameter does without
}

// Known reports whether the diameter holds all that is in the bundle.
func (b Bundle) Known() bool { return b.Diameter > 0 && len(b.Unknown) == 0 }

// Packer packs circles, as Pack and Shelf.Pack do.
type Packer func(diameters []float64) (Packing, error)

// Lay packs parts, groups first. Of parts with the same diameter those with the higher rank lie nearer the middle. Parts
// without a known diameter are left out and named; so is a part whose diameter is below zero or not a number.
func Lay(parts []Part, pack Packer) (Bundle, error) {
	var b Bundle
	var known []Part
	var d []float64
	var inside []Bundle
	for _, p := range parts {
		var in Bundle
		outside := p.Diameter
		if len(p.Parts) > 0 {
			var err error
			if in, err = Lay(p.Parts, pack); err != nil {
				return Bundle{}, err
			}
			b.Unknown = append(b.Unknown, in.Unknown...)
			if in.Diameter == 0 {
				continue
			}
			outside = in.Diameter + 2*max(0, p.Wall)
		}
		if !(outside > 0) || math.IsInf(outside, 1) {
			b.Unknown = append(b.Unknown, p.ID)
			continue
		}
		known, d, inside = append(known, p), append(d, outside), append(inside, in)
	}
	packing, err := pack(d)
	if err != nil {
		return Bundle{}, err
	}
	rank(known, d, packing.Centres)
	b.Diameter = packing.Diameter
	for i, p := range known {
		at := packing.Centres[i]
		b.Circles = append(b.Circles, Circle{ID: p.ID, At: at, Diameter: d[i], Wall: p.Wall, Group: len(p.Parts) > 0})
		for _, c := range inside[i].Circles {
			c.At, c.Depth = Point{c.At.X + at.X, c.At.Y + at.Y}, c.Depth+1
			b.Circles = append(b.Circles, c)
		}
	}
	return b, nil
}

// rank lets parts of the same diameter change places, so that the higher rank lies nearer the middle.
func rank(parts []Part, d []float64, at []Point) {
	done := make([]bool, len(parts))
	for i := range parts {
		if done[i] {
			continue
		}
		var same []int
		for j := i; j < len(parts); j++ {
			if d[j] == d[i] {
				same, done[j] = append(same, j), true
			}
		}
		places := make([]Point, len(same))
		for k, j := range same {
			places[k] = at[j]
		}
		sorting.By(places, func(p, q Point) int {
			return cmp.Compare(p.X*p.X+p.Y*p.Y, q.X*q.X+q.Y*q.Y)
		})
		slices.SortStableFunc(same, func(a, b int) int {
			return cmp.Or(cmp.Compare(parts[b].Rank, parts[a].Rank), cmp.Compare(parts[a].ID, parts[b].ID))
		})
		for k, j := range same {
			at[j] = places[k]
		}
	}
}

// Thumb returns the diameter that the usual rule of thumb gives for wires, for comparison: 1.2 × √Σd². For n equal wires it
// is 1.2 × d × √n.
//
// Source: common practice; factors of 1.15 to 1.45 are in use, 1.2 is the usual one.
func Thumb(diameters []float64) float64 {
	sum := 0.0
	for _, d := range diameters {
		sum += d * d
	}
	return ThumbFactor * math.Sqrt(sum)
}

// ThumbFactor is that of Thumb.
const ThumbFactor = 1.2
