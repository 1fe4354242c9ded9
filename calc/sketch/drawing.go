package sketch

import (
	"fmt"
	"math"
	"strings"

	"loomwright/calc/harness"
)

// Point is a position in units that are px at zoom 1; y runs down.
type Point struct{ X, Y float64 }

// Text is where a text stands: X is its edge, Y its baseline.
type Text struct {
	Point
	Anchor string // "start" or "end", as in SVG
}

// Node is a place of the drawing.
type Node struct {
	Place string
	Kind  harness.PlaceKind
	Point
	R      float64  // radius of its mark, or half the side of a controller's square
	Name   Text     // of the first line; further ones are LineHeight below
	Lines  []string // the name, broken to fit; the last line may end in an ellipsis
	Run    string   // the run of the tree that leads here; empty at a root
	Island int      // 0 is the controller's, then one by one; -1 is a place without runs
}

// Edge is a run of the drawing, as one line of cubic curves from place A to place B.
type Edge struct {
	Run    string
	A, B   string
	Points []Point // start, then two control points and the end of each curve
	Length Text    // where its length may be written
	Extra  bool    // it closes a loop, and may cross others
}

// Drawing is a laid-out route.
type Drawing struct {
	Nodes []Node // in the order of rows, island by island
	Edges []Edge // in the order of runs
	W, H  float64
}

// The sizes of texts that the layout makes room for, in px at zoom 1.
const (
	NameSize   = 13 // of names
	LengthSize = 12 // of lengths, in bold figures of one width
	LineHeight = 15
)

// D returns the line as the d attribute of an SVG path.
func (e Edge) D() string {
	if len(e.Points) == 0 {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "M%.1f %.1f", e.Points[0].X, e.Points[0].Y)
	for i := 1; i+2 < len(e.Points); i += 3 {
		p := e.Points[i : i+3]
		fmt.Fprintf(&b, "C%.1f %.1f %.1f %.1f %.1f %.1f", p[0].X, p[0].Y, p[1].X, p[1].Y, p[2].X, p[2].Y)
	}
	return b.String()
}

// Node returns the node of a place.
func (d Drawing) Node(place string) (Node, bool) {
	for _, n := range d.Nodes {
		if n.Place == place {
			return n, true
		}
	}
	return Node{}, false
}

// Nearest returns the place whose mark or name is nearest to a point, and how far it is: 0 on the name or the mark. It is
// empty, at an infinite distance, if there are no places.
func (d Drawing) Nearest(x, y float64) (place string, distance float64) {
	distance = math.Inf(1)
	closest := math.Inf(1) // to the centre, between two that are hit
	for _, n := range d.Nodes {
		centre := math.Hypot(x-n.X, y-n.Y)
		away := max(0, centre-n.R)
		b := n.box()
		away = min(away, math.Hypot(max(0, b.left-x, x-b.right), max(0, b.top-y, y-b.bottom)))
		if away < distance || away == distance && centre < closest {
			place, distance, closest = n.Place, away, centre
		}
	}
	return place, distance
}

// box is a rectangle.
type box struct{ left, top, right, bottom float64 }

func (b box) overlaps(c box) bool {
	return b.left < c.right && c.left < b.right && b.top < c.bottom && c.top < b.bottom
}

// box is the rectangle of a node's name.
func (n *Node) box() box {
	w := 0.0
	for _, line := range n.Lines {
		w = max(w, width(line))
	}
	b := box{n.Name.X, n.Name.Y - NameSize + 2, n.Name.X + w, n.Name.Y + 3 + float64(len(n.Lines)-1)*LineHeight}
	if n.Name.Anchor == "end" {
		b.left, b.right = n.Name.X-w, n.Name.X
	}
	return b
}

// mark is the rectangle of a node's mark.
func (n *Node) mark() box { return box{n.X - n.R, n.Y - n.R, n.X + n.R, n.Y + n.R} }

// lengthBox is the rectangle of a length of up to four figures.
func (t Text) lengthBox() box {
	const w = 4 * 0.62 * LengthSize
	if t.Anchor == "end" {
		return box{t.X - w, t.Y - 9, t.X, t.Y + 1}
	}
	return box{t.X, t.Y - 9, t.X + w, t.Y + 1}
}

// width is about how wide a name is drawn. Source: our choice: 0.56 em is the mean of a common sans-serif, measured with
// names like those of places, and capitals count more.
func width(s string) float64 {
	w := 0.0
	for _, r := range s {
		switch {
		case r >= 'A' && r <= 'Z', r == 'm', r == 'w', r > 0x2e80:
			w += 0.74
		case strings.ContainsRune("ijltfrI.,:;'|()-1 ", r):
			w += 0.40
		default:
			w += 0.60
		}
	}
	return w * NameSize
}

// wrap breaks a name at spaces into at most two lines no wider than most, with an ellipsis where that is not enough.
func wrap(name string, most float64) []string {
	if width(name) <= most {
		return []string{name}
	}
	words := strings.Fields(name)
	first := ""
	for i, w := range words {
		next := strings.TrimSpace(first + " " + w)
		if first != "" && width(next) > most {
			return []string{clip(first, most), clip(strings.Join(words[i:], " "), most)}
		}
		first = next
	}
	return []string{clip(first, most)}
}

func clip(s string, most float64) string {
	if width(s) <= most {
		return s
	}
	r := []rune(s)
	for len(r) > 1 && width(string(r)+"…") > most {
		r = r[:len(r)-1]
	}
	return strings.TrimSpace(string(r)) + "…"
}
