package bundle

// Section is a cross-section ready to be drawn, in mm from its lower left corner at 0, 0.
type Section struct {
	Width, Height float64
	Rings         []Ring // the outermost first, so that each is drawn over the one before
}

// Ring is one circle of a section.
type Ring struct {
	X, Y, R float64
	Kind    RingKind
	ID      string // of a wire or group
	Letter  string // of a wire: A to Z without I and O, then AA and on
}

// RingKind is what a ring is.
type RingKind string

// The kinds of ring.
const (
	RingCover  RingKind = "cover"
	RingBundle RingKind = "bundle"
	RingGroup  RingKind = "group"  // twisted: drawn thin, there is nothing there
	RingSleeve RingKind = "sleeve" // outside of a sleeve within the bundle
	RingInside RingKind = "inside" // inside of that sleeve
	RingWire   RingKind = "wire"
)

// Draw returns the cross-section of a bundle, with the wires lettered in the order in which they lie in b.Circles, and round
// it a cover of this wall, if any. An empty bundle has no rings.
func Draw(b Bundle, coverWall float64) Section {
	if b.Diameter <= 0 {
		return Section{}
	}
	R := b.Diameter/2 + max(0, coverWall)
	s := Section{Width: 2 * R, Height: 2 * R}
	if coverWall > 0 {
		s.Rings = append(s.Rings, Ring{X: R, Y: R, R: R, Kind: RingCover})
	}
	s.Rings = append(s.Rings, Ring{X: R, Y: R, R: b.Diameter / 2, Kind: RingBundle})
	wires := 0
	for _, c := range b.Circles {
		ring := Ring{X: R + c.At.X, Y: R + c.At.Y, R: c.Diameter / 2, ID: c.ID, Kind: RingGroup}
		switch {
		case !c.Group:
			ring.Kind, ring.Letter = RingWire, Letter(wires)
			wires++
		case c.Wall > 0:
			ring.Kind = RingSleeve
			s.Rings = append(s.Rings, ring)
			ring.Kind, ring.R = RingInside, ring.R-c.Wall
		}
		s.Rings = append(s.Rings, ring)
	}
	return s
}

// Letter returns the letter of the n-th wire, from 0: A to Z without I and O, which look like figures, then AA, AB and on.
func Letter(n int) string {
	const letters = "ABCDEFGHJKLMNPQRSTUVWXYZ"
	text := ""
	for n >= 0 {
		text = string(letters[n%len(letters)]) + text
		n = n/len(letters) - 1
	}
	return text
}
