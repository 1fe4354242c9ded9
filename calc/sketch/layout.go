package sketch

import (
	"loomwright/calc/harness"
	"loomwright/calc/sorting"
)

// Options is what a drawing should fit.
type Options struct {
	Width float64 // of the paper, px at zoom 1; 0 is 390, a common phone
	Root  string  // the place to begin at; empty is the first controller
}

// The measures of the layout, px at zoom 1. Source: our choice, by looking at drawings of 40 places at 390 px.
const (
	margin     = 10.0
	above      = 22.0 // from the top of a row to the place: its length stands there
	below      = 13.0 // from the place to the bottom of a row with one line of name
	rowHeight  = above + below
	gap        = 7.0  // from a mark to its name
	laneNear   = 30.0 // from a trunk to its nearest lane
	laneStep   = 9.0  // from lane to lane
	laneSpread = 54.0 // of all lanes of one place
	peel       = 28.0 // how far down a run peels off into its lane
	nameLeast  = 62.0 // room for a name, even where that makes the drawing wider
	nameUsual  = 120.0
	islandGap  = 30.0
	patience   = 2 * rowHeight // how far down a branch waits for its side before it takes the other
)

// Layout lays out the places and runs of a build. Every living place has a node, every run between two of them an edge.
// W is Options.Width unless names would have less room than a short word. The same build gives the same drawing; a place
// that is added moves those below it down by a row and, as a rule, turns nothing else over.
//
// Cost: n log n in places and runs.
func Layout(b *harness.Build, o Options) Drawing {
	if o.Width <= 0 {
		o.Width = 390
	}
	trees, loose, extra := forest(b, o.Root)
	l := &layout{nodes: map[string]*Node{}, width: o.Width, x0: o.Width / 2, free: true}
	l.all(trees)
	l.settle()
	l.all(trees)
	l.loose(loose)
	l.obstacles()
	for _, r := range extra {
		l.extra(r)
	}
	return l.drawing(b)
}

// layout is the state of a drawing that is being laid out. It runs twice: first with free names, to see how much room
// each side of the trunk needs, then with names broken to fit.
type layout struct {
	width  float64
	x0     float64 // the trunk
	free   bool    // names are not broken yet
	order  []string
	nodes  map[string]*Node
	edges  []Edge
	down   [2]float64 // by side: the first y that is free
	need   [2]float64 // by side: how far names reach from the trunk
	island int
	bottom float64
	texts  []box // names, marks and lengths, once they stand
	lines  []box // the straight ends of runs
}

// The sides, as index of down and need.
const (
	left  = 0
	right = 1
)

// outward is the direction of a side.
func outward(side int) float64 { return float64(2*side - 1) }

func (l *layout) all(trees []*branch) {
	l.order, l.edges, l.need = nil, nil, [2]float64{}
	clear(l.nodes)
	l.bottom = margin
	for i, t := range trees {
		l.island = i
		if i > 0 {
			l.bottom += islandGap
		}
		l.down = [2]float64{l.bottom, l.bottom}
		l.trunk(t)
		l.bottom = max(l.down[left], l.down[right])
	}
}

// settle puts the trunk where both sides have room for their names.
func (l *layout) settle() {
	l.free = false
	room := l.width - 2*margin
	need := l.need[left] + l.need[right]
	switch {
	case need == 0:
	case need <= room:
		l.x0 = margin + l.need[left] + (room-need)/2
	default:
		l.x0 = margin + room*l.need[left]/need
	}
}

// trunk lays out a tree whose trunk runs straight down. Each place of it writes its name on the side where there is room
// first; each branch takes the side of its rank, unless that is taken for long and the other is free.
func (l *layout) trunk(t *branch) {
	least := 0.0 // y of the next place
	var last *Node
	for at := t; at != nil; at = at.trunk {
		y := func(side int) float64 { return max(least, l.down[side]+head(at)) }
		soonest := min(y(left), y(right))
		var leaving [2][]*branch
		for _, c := range at.children {
			side := 1 - c.rank%2
			if l.down[side] > soonest+patience && l.down[1-side] <= soonest {
				side = 1 - side
			}
			leaving[side] = append(leaving[side], c)
		}
		side := right
		if y(left) < y(right) || y(left) == y(right) && len(leaving[left]) < len(leaving[right]) {
			side = left
		}
		top := y(side)
		if len(leaving[1-side]) > 0 {
			top = max(top, l.down[1-side])
		}
		n := l.node(at, l.x0, top, side)
		if last != nil {
			l.straight(at.run, last, n)
		}
		l.down[side] = n.foot()
		l.branches(leaving[side], n, side)
		if len(leaving[1-side]) > 0 {
			l.down[1-side] = max(l.down[1-side], n.Y+peel-above+4)
			l.branches(leaving[1-side], n, 1-side)
		}
		last, least = n, n.Y+rowHeight
	}
}

// side lays out a branch and all that leaves it, outwards. It returns the place where the branch begins.
func (l *layout) side(t *branch, x float64, side int) *Node {
	var first, last *Node
	for at := t; at != nil; at = at.trunk {
		n := l.node(at, x, l.down[side]+above, side)
		l.down[side] = n.foot()
		if last != nil {
			l.straight(at.run, last, n)
		} else {
			first = n
		}
		l.branches(at.children, n, side)
		last = n
	}
	return first
}

// branches lays out the branches that leave a place on one side: those further down in lanes further in.
func (l *layout) branches(children []*branch, from *Node, side int) {
	step := laneStep
	if n := len(children); n > 1 {
		step = min(step, laneSpread/float64(n-1))
	}
	for i, c := range children {
		x := from.X + outward(side)*(laneNear+step*float64(len(children)-1-i))
		l.peeling(c.run, from, l.side(c, x, side))
	}
}

// head is how much room a place needs above its mark.
func head(t *branch) float64 {
	if t.parent == nil {
		return radius(t.place.Kind) + 2
	}
	return above
}

// foot is the lower end of the row of a place.
func (n *Node) foot() float64 {
	return n.Y + max(below, n.R+4) + float64(len(n.Lines)-1)*LineHeight
}

func radius(kind harness.PlaceKind) float64 {
	switch kind {
	case harness.Controller:
		return 11
	case harness.Split, harness.PassThrough, harness.Panel, harness.TerminalStrip, harness.Inline:
		return 7
	}
	return 5.5
}

// node places a mark, with its name on one side.
func (l *layout) node(t *branch, x, y float64, side int) *Node {
	n := &Node{Place: t.place.ID, Kind: t.place.Kind, Point: Point{x, y}, R: radius(t.place.Kind), Run: t.run.ID, Island: l.island}
	l.write(n, t.place, side)
	l.order = append(l.order, n.Place)
	l.nodes[n.Place] = n
	return n
}

// write puts the name of a place beside its mark, broken to the room there is.
func (l *layout) write(n *Node, p harness.Place, side int) {
	name := p.Name
	if name == "" {
		name = string(p.Kind)
	}
	n.Name = Text{Point{n.X + outward(side)*(n.R+gap), n.Y + 4}, "start"}
	room := l.width - margin - n.Name.X
	if side == left {
		n.Name.Anchor = "end"
		room = n.Name.X - margin
	}
	if l.free {
		n.Lines = []string{name}
		l.need[side] = max(l.need[side], outward(side)*(n.Name.X-l.x0)+min(nameUsual, width(name)))
		return
	}
	n.Lines = wrap(name, max(nameLeast, room))
}

// drawing hands over what was laid out, moved so that all of it lies on the paper.
func (l *layout) drawing(b *harness.Build) Drawing {
	d := Drawing{W: l.width, H: l.bottom + margin}
	if len(l.order) == 0 {
		d.H = 0
		return d
	}
	lowest := 0.0
	for _, id := range l.order {
		n := l.nodes[id]
		lowest = min(lowest, n.box().left-margin)
		d.Nodes = append(d.Nodes, *n)
	}
	rank := map[string]int{}
	for i, r := range b.Runs.All() {
		rank[r.ID] = i
	}
	sorting.By(l.edges, func(a, b Edge) int { return rank[a.Run] - rank[b.Run] })
	d.Edges = l.edges
	for i := range d.Nodes {
		n := &d.Nodes[i]
		n.X -= lowest
		n.Name.X -= lowest
		d.W = max(d.W, n.box().right+margin)
	}
	for i := range d.Edges {
		e := &d.Edges[i]
		e.Length.X -= lowest
		for j := range e.Points {
			e.Points[j].X -= lowest
		}
	}
	return d
}
