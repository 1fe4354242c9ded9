package bundle

import "fmt"

// Through is a hole that the loom must be pulled through.
type Through struct {
	ID     string
	Hole   float64   // mm; 0 is not known
	Bore   float64   // mm, inside of the grommet; 0 where there is none
	Slit   bool      // the grommet is slit: it goes on at any time
	Bundle float64   // mm, of the run in the hole; 0 is not known
	Sides  [2][]Bulk // what is finished on either side before it is pulled; what is made in the car is not in it
	Names  [2]string // of the sides, "engine bay", "cabin"
	Chosen int       // 1 + the side that a person chose to pull from; 0 is the one in which the smaller thing leads
}

// GrommetOn is when a grommet goes on.
type GrommetOn string

// The ways to fit a grommet.
const (
	NoGrommet  GrommetOn = ""
	OnBefore   GrommetOn = "before"       // threaded onto the loom before the ends are made, seated after pulling
	InPanel    GrommetOn = "in the panel" // seated first, the loom is pulled through it
	SlitOn     GrommetOn = "after"
	GrommetToo GrommetOn = "too small" // the bundle itself does not go through it
)

// Pull is how to get a loom through a hole.
type Pull struct {
	ID      string
	Known   bool    // all sizes that decide are known; if not, the rest holds for those that are
	From    int     // the side it is pulled from; the other side's part goes through the hole
	Largest Bulk    // the largest thing that goes through that way
	Room    float64 // mm, hole less that; below 0 it does not pass
	Passes  bool
	TooBig  []Bulk // what must be made after pulling, or the hole made wider
	Grommet GrommetOn
	Unknown []string
	Terms   []Term
}

// Pulls says how the loom gets through: in the direction in which the smaller thing leads, what the largest thing is against
// the hole, and whether the grommet goes on before. From the first side if both are alike.
func Pulls(t Through) Pull {
	p := Pull{ID: t.ID, Known: t.Hole > 0 && t.Bundle > 0}
	if t.Hole <= 0 {
		p.Unknown = append(p.Unknown, "hole")
	}
	if t.Bundle <= 0 {
		p.Unknown = append(p.Unknown, "bundle")
	}
	for _, side := range t.Sides {
		for _, b := range side {
			if b.Size <= 0 {
				p.Known = false
				p.Unknown = append(p.Unknown, b.Name)
			}
		}
	}
	big := [2]Bulk{} // what goes through when it is pulled from that side
	for from := range big {
		big[from], _ = largest(append([]Bulk{{Name: "bundle", Size: t.Bundle}}, t.Sides[1-from]...))
	}
	if big[1].Size < big[0].Size {
		p.From = 1
	}
	if t.Chosen > 0 {
		p.From = min(t.Chosen, 2) - 1
	}
	p.Largest = big[p.From]
	p.Terms = append(p.Terms, Term{Name: "Hole", Value: t.Hole, Unit: "mm", Reason: "in the panel", Source: "the build"})
	for from := range big {
		p.Terms = append(p.Terms, Term{Name: big[from].Name, Value: big[from].Size, Unit: "mm",
			Reason: fmt.Sprintf("the largest if pulled from %s", side(t.Names, from)), Source: "the loom"})
	}
	if t.Hole > 0 {
		p.Room = t.Hole - p.Largest.Size
		p.Passes = p.Known && p.Room >= 0
		for _, b := range append([]Bulk{{Name: "bundle", Size: t.Bundle}}, t.Sides[1-p.From]...) {
			if b.Size > t.Hole {
				p.TooBig = append(p.TooBig, b)
			}
		}
	}
	switch {
	case t.Bore <= 0:
		p.Grommet = NoGrommet
	case t.Bundle > t.Bore:
		p.Grommet = GrommetToo
	case t.Slit:
		p.Grommet = SlitOn
	case p.Known && p.Largest.Size <= t.Bore:
		p.Grommet = InPanel
	default:
		p.Grommet = OnBefore
	}
	if t.Bore > 0 {
		p.Terms = append(p.Terms, Term{Name: "Grommet", Value: t.Bore, Unit: "mm", Reason: "inside", Source: "the list of stock"})
	}
	return p
}

func side(names [2]string, i int) string {
	if names[i] != "" {
		return names[i]
	}
	return [2]string{"the first side", "the other side"}[i]
}

// Folded returns the smallest hole that a bundle passes with branches folded back beside it. Diameters are in mm; one that is
// not known makes the result unknown, which is 0.
func Folded(bundle float64, branches ...float64) float64 {
	p, err := Pack(append([]float64{bundle}, branches...), Quick)
	if err != nil {
		return 0
	}
	return p.Diameter
}
