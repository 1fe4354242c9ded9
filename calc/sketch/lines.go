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

// extra draws a run that closes a loop: of some bows from place to place the one that meets the fewest names and marks,
// with its length where it meets none.
func (l *layout) extra(r harness.Run) {
	from, to := l.nodes[r.A], l.nodes[r.B]
	dx, dy := to.X-from.X, to.Y-from.Y
	far := max(1, math.Hypot(dx, dy))
	edge := Edge{Run: r.ID, A: r.A, B: r.B, Extra: true}
	least := math.Inf(1)
	try := func(a, b Point, dear float64) {
		points := []Point{from.Point, a, b, to.Point}
		if cost := l.cost(points, r, least-dear) + dear; cost < least {
			least, edge.Points = cost, points
		}
	}
	for _, bow := range []float64{1, -1, 1.8, -1.8, 2.8, -2.8, 4, -4} {
		h := bow * (16 + far/10)
		try(Point{from.X + dx/4 - h*dy/far, from.Y + dy/4 + h*dx/far},
			Point{to.X - dx/4 - h*dy/far, to.Y - dy/4 + h*dx/far}, math.Abs(bow))
	}
	// Down a free lane, where the two are far apart from top to bottom.
	for x := -l.width / 4; x < l.width*5/4 && math.Abs(dy) > 2*rowHeight; x += 10 {
		away := max(0, min(from.X, to.X)-x, x-max(from.X, to.X))
		try(Point{x, from.Y + dy/6}, Point{x, to.Y - dy/6}, 1+away/60)
	}
	edge.Length = l.beside(edge.Points)
	l.texts = append(l.texts, edge.Length.lengthBox())
	l.edges = append(l.edges, edge)
}

// cost counts what a curve meets: names, marks and lengths, the edge of the paper, and other extra runs of the same two
// places. It stops counting at enough.
func (l *layout) cost(points []Point, r harness.Run, enough float64) float64 {
	cost := 0.0
	for _, e := range l.edges {
		if e.Extra && (e.A == r.A && e.B == r.B || e.A == r.B && e.B == r.A) {
			mine, other := at(points, 0.5), at(e.Points, 0.5)
			if math.Hypot(mine.X-other.X, mine.Y-other.Y) < 12 {
				cost += 100
			}
		}
	}
	const steps = 32
	for i := 1; i < steps && cost < enough; i++ {
		p := at(points, float64(i)/steps)
		cost += l.crowd(box{p.X - 1, p.Y - 1, p.X + 1, p.Y + 1}) / 2
	}
	return cost
}

// crowd is how many names, marks and lengths a box overlaps; much if it lies off the paper.
func (l *layout) crowd(b box) float64 {
	n := 0.0
	if b.left < 2 || b.right > l.width-2 || b.top < 2 {
		n += 10
	}
	for _, o := range l.texts {
		if b.overlaps(o) {
			n++
		}
	}
	return n
}

// obstacles fills texts and lines with what extra runs and their lengths keep clear of.
func (l *layout) obstacles() {
	for _, id := range l.order {
		l.texts = append(l.texts, l.nodes[id].box(), l.nodes[id].mark())
	}
	for _, e := range l.edges {
		l.texts = append(l.texts, e.Length.lengthBox())
		// Runs of the tree end straight down.
		k := len(e.Points)
		l.lines = append(l.lines, box{e.Points[k-1].X - 2, e.Points[k-4].Y, e.Points[k-1].X + 2, e.Points[k-1].Y})
	}
}

// beside returns where the length of a curve is best written: on no name or length, and if it can be on no line.
func (l *layout) beside(points []Point) Text {
	var own []box
	for k := range 24 {
		q := at(points, float64(k)/24)
		own = append(own, box{q.X - 2, q.Y - 2, q.X + 2, q.Y + 2})
	}
	var best Text
	least := math.Inf(1)
	for i, t := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8} {
		p := at(points, t)
		for _, y := range []float64{4, 17, -7} {
			for _, text := range []Text{{Point{p.X + 6, p.Y + y}, "start"}, {Point{p.X - 6, p.Y + y}, "end"}} {
				b := text.lengthBox()
				cost := l.crowd(box{b.left, b.top - 3, b.right, b.bottom + 3}) + float64(i)/10
				for _, o := range append(own, l.lines...) {
					if b.overlaps(o) {
						cost += 0.4
					}
				}
				if cost < least {
					least, best = cost, text
				}
			}
		}
	}
	return best
}

// at is the point of a curve at t from 0 to 1.
func at(c []Point, t float64) Point {
	u := 1 - t
	mix := func(a, b, c, d float64) float64 { return u*u*u*a + 3*u*u*t*b + 3*u*t*t*c + t*t*t*d }
	return Point{mix(c[0].X, c[1].X, c[2].X, c[3].X), mix(c[0].Y, c[1].Y, c[2].Y, c[3].Y)}
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
