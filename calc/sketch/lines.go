package sketch

import (
	"math"

	"loomwright/calc/harness"
)

// straight draws a run down the trunk.
func (l *layout) straight(r harness.Run, from, to *Node) {
	l.edge(r, from, to, line(from.Point, to.Point))
}

// peeling draws a run that leaves the trunk, bends into its lane and runs down it. Where the name beside the trunk has
// two lines, it leaves below them.
func (l *layout) peeling(r harness.Run, from, to *Node) {
	start := from.Point
	points := []Point{start}
	if (to.X > from.X) == (from.Name.Anchor == "start") && len(from.Lines) > 1 {
		start.Y += float64(len(from.Lines)-1) * LineHeight
		points = line(from.Point, start)
	}
	bend := Point{to.X, min(start.Y+peel, to.Y)}
	points = append(points, Point{start.X, start.Y + 0.75*peel}, Point{bend.X, start.Y + 0.35*peel}, bend)
	points = append(points, line(bend, to.Point)[1:]...)
	l.edge(r, from, to, points)
}

// line is a straight line as a curve.
func line(a, b Point) []Point {
	return []Point{a, {a.X + (b.X-a.X)/3, a.Y + (b.Y-a.Y)/3}, {b.X - (b.X-a.X)/3, b.Y - (b.Y-a.Y)/3}, b}
}

// edge keeps a run of the tree. Its length stands above the name of the place it leads to.
func (l *layout) edge(r harness.Run, from, to *Node, points []Point) {
	at := Text{Point{to.X + 7, to.Y - 12}, "start"}
	if to.Name.Anchor == "end" {
		at = Text{Point{to.X - 7, to.Y - 12}, "end"}
	}
	l.edges = append(l.edges, Edge{Run: r.ID, A: from.Place, B: to.Place, Points: points, Length: at})
}

// extra draws a run that closes a loop: a bow from place to place, the flatter the nearer they are, each further run
// between the same two bowed more.
func (l *layout) extra(r harness.Run) {
	from, to := l.nodes[r.A], l.nodes[r.B]
	same := 1.0
	for _, e := range l.edges {
		if e.A == r.A && e.B == r.B || e.A == r.B && e.B == r.A {
			same++
		}
	}
	dx, dy := to.X-from.X, to.Y-from.Y
	far := max(1, math.Hypot(dx, dy))
	bow := (14 + far/8) * (1 + same/2)
	// Bow towards the trunk, where there are no names.
	side := Point{-dy / far, dx / far}
	if middle := (from.X + to.X) / 2; (middle-l.x0)*side.X > 0 {
		side = Point{-side.X, -side.Y}
	}
	a := Point{from.X + dx/4 + side.X*bow, from.Y + dy/4 + side.Y*bow}
	b := Point{to.X - dx/4 + side.X*bow, to.Y - dy/4 + side.Y*bow}
	top := Point{(from.X + 3*a.X + 3*b.X + to.X) / 8, (from.Y + 3*a.Y + 3*b.Y + to.Y) / 8}
	l.edges = append(l.edges, Edge{Run: r.ID, A: r.A, B: r.B, Points: []Point{from.Point, a, b, to.Point},
		Length: Text{Point{top.X + 4, top.Y}, "start"}, Extra: true})
}

// loose sets the places that no run leads to below the rest, in two columns.
func (l *layout) loose(places []harness.Place) {
	if len(places) == 0 {
		return
	}
	top := l.bottom
	if len(l.order) > 0 {
		top += islandGap
	}
	column := (l.width - 2*margin) / 2
	y := [2]float64{top, top}
	for i, p := range places {
		c := i % 2
		n := &Node{Place: p.ID, Kind: p.Kind, R: radius(p.Kind), Island: -1}
		n.Point = Point{margin + 12 + float64(c)*column, y[c] + 16}
		n.Name = Text{Point{n.X + n.R + gap, n.Y + 4}, "start"}
		name := p.Name
		if name == "" {
			name = string(p.Kind)
		}
		n.Lines = wrap(name, max(nameLeast, column-12-n.R-gap-4))
		y[c] = n.foot()
		l.order = append(l.order, n.Place)
		l.nodes[n.Place] = n
	}
	l.bottom = max(y[0], y[1])
}
