package stock

import "math"

// linear is the plan in parts of bins: the cheapest sum of patterns, each taken as often as one likes, by which every need
// is met. It is solved by the revised simplex method; patterns are made as they are found to be worth it.
//
// Source: Gilmore and Gomory, A linear programming approach to the cutting-stock problem, Operations Research 9 (1961).
type linear struct {
	p       *problem
	hand    int   // the first kinds, those on hand, have a row each
	single  []int // by size: the column it begins with
	columns []bin // all that were found, kept from one solution to the next
	costs   []float64
	cut     [][]int // by column: the sizes it cuts
	sums    []float64
	basis   []int       // by row: a column, or -1 for what is too much in the row (needs) or left over (on hand)
	inverse [][]float64 // of the basis
	x       []float64   // by row: how often the basis' column is taken
	dual    []float64   // by row: what one more of it would cost
	knap    knapsack
}

func newLinear(p *problem) *linear {
	l := &linear{p: p}
	for l.hand < len(p.kinds) && p.kinds[l.hand].limited {
		l.hand++
	}
	return l
}

// start sets a basis of one column a size, cut from the shortest that can be bought.
func (l *linear) start(need, most []int) {
	p, m := l.p, len(need)
	rows := m + l.hand
	l.basis, l.x, l.dual = make([]int, rows), make([]float64, rows), make([]float64, rows)
	l.inverse = make([][]float64, rows)
	for r := range rows {
		l.inverse[r] = make([]float64, rows)
		l.inverse[r][r] = 1
		if r >= m {
			l.basis[r], l.x[r] = -1, float64(most[r-m])+1e-7*float64(r+1)
			continue
		}
		kind, copies := len(p.kinds)-1, 1
		for k := l.hand; k < len(p.kinds); k++ {
			if !p.kinds[k].single() && p.kinds[k].room >= p.size[r] {
				kind, copies = k, p.kinds[k].room/max(p.size[r], 1)
				break
			}
		}
		if len(l.single) == r {
			pattern := make([]int, m)
			pattern[r] = copies
			l.single = append(l.single, l.add(bin{kind, pattern}))
		}
		l.basis[r] = l.single[r]
		l.inverse[r][r] = 1 / float64(copies)
		// A little more than is needed, by row, so that no two bases are equally good and the method never goes in a ring.
		l.x[r] = (float64(need[r]) + 1e-7*float64(r+1)) / float64(copies)
	}
}

func (l *linear) add(b bin) int {
	l.columns = append(l.columns, b)
	l.costs = append(l.costs, float64(l.p.price(b)))
	var sizes []int
	for i, n := range b.pattern {
		if n > 0 {
			sizes = append(sizes, i)
		}
	}
	l.cut = append(l.cut, sizes)
	return len(l.columns) - 1
}

// solve brings the parts to the least cost, or as far as most steps bring it: what bound says is true of any duals.
func (l *linear) solve(need, most []int) {
	const steps, eps = 3000, 1e-7
	l.start(need, most)
	m := len(need)
	for range steps {
		l.prices()
		enter, least := -1, -eps*l.scale()
		slack := -1
		for r, y := range l.dual {
			if r >= m {
				y = -y
			}
			if y < least {
				least, slack = y, r
			}
		}
		for c, b := range l.columns {
			if b.kind < l.hand && most[b.kind] == 0 {
				continue
			}
			if reduced := l.costs[c] - l.worth(c); reduced < least {
				least, enter, slack = reduced, c, -1
			}
		}
		if enter < 0 && slack < 0 {
			if enter = l.price(need, most); enter < 0 {
				return
			}
		}
		if !l.pivot(enter, slack, m) {
			return
		}
	}
}

func (l *linear) scale() float64 {
	most := 1.0
	for _, k := range l.p.kinds {
		most = max(most, float64(k.cost))
	}
	for _, e := range l.p.each {
		if l.p.kinds[len(l.p.kinds)-1].metre {
			most = max(most, float64(e))
		}
	}
	return most
}

func (l *linear) prices() {
	clear(l.dual)
	for r, c := range l.basis {
		if c < 0 || l.costs[c] == 0 {
			continue
		}
		for k, v := range l.inverse[r] {
			l.dual[k] += l.costs[c] * v
		}
	}
}

func (l *linear) worth(c int) (sum float64) {
	b := l.columns[c]
	for _, i := range l.cut[c] {
		sum += float64(b.pattern[i]) * l.dual[i]
	}
	if b.kind < l.hand {
		sum += l.dual[len(b.pattern)+b.kind]
	}
	return sum
}

// price makes the pattern of each kind that is worth most, and returns the column that saves most; -1 if none saves.
func (l *linear) price(need, most []int) int {
	p, m := l.p, len(need)
	l.knap.fill(p.size, need, l.dual[:m], p.widest())
	enter, least := -1, -1e-6*l.scale()
	for k, kind := range p.kinds {
		switch {
		case kind.single():
			for i := range need {
				reduced := float64(p.priceEach(kind, i)) - l.dual[i]
				if reduced < least {
					pattern := make([]int, m)
					pattern[i] = 1
					enter, least = l.add(bin{k, pattern}), reduced
				}
			}
		case kind.limited && most[k] == 0:
		default:
			reduced := float64(kind.cost) - l.knap.value[kind.room]
			if k < l.hand {
				reduced -= l.dual[m+k]
			}
			if reduced < -1e-6*l.scale() {
				c := l.add(bin{k, l.knap.pattern(kind.room, m)})
				if reduced < least {
					enter, least = c, reduced
				}
			}
		}
	}
	return enter
}

// widest is the largest room there is.
func (p *problem) widest() (room int) {
	for _, k := range p.kinds {
		room = max(room, k.room)
	}
	return room
}

// pivot brings a column into the basis, or the slack of a row, and reports whether it could.
func (l *linear) pivot(enter, slack, m int) bool {
	rows := len(l.basis)
	d := make([]float64, rows)
	for r := range rows {
		row := l.inverse[r]
		switch {
		case slack >= 0 && slack < m:
			d[r] = -row[slack]
		case slack >= 0:
			d[r] = row[slack]
		default:
			b := l.columns[enter]
			for _, i := range l.cut[enter] {
				d[r] += float64(b.pattern[i]) * row[i]
			}
			if b.kind < l.hand {
				d[r] += row[m+b.kind]
			}
		}
	}
	leave, step := -1, math.Inf(1)
	for r, v := range d {
		if v > 1e-9 {
			if s := l.x[r] / v; s < step {
				leave, step = r, s
			}
		}
	}
	if leave < 0 {
		return false
	}
	pivot := d[leave]
	out := l.inverse[leave]
	for k := range out {
		out[k] /= pivot
	}
	for r := range rows {
		if r == leave || d[r] == 0 {
			continue
		}
		row, by := l.inverse[r], d[r]
		for k, v := range out {
			if v != 0 {
				row[k] -= by * v
			}
		}
		l.x[r] = max(l.x[r]-by*step, 0)
	}
	l.x[leave] = step
	l.basis[leave] = enter
	return true
}

// bound returns a cost below which no plan is, from the duals: whatever they are, what the needs are worth by them, less
// what each pattern is worth more than it costs.
//
// Source: Farley, A note on bounding a class of linear programming problems, Operations Research 38 (1990), and for the
// stock on hand the weak duality of linear programmes.
func (l *linear) bound(need, most []int) int {
	p, m := l.p, len(need)
	y := make([]float64, m)
	last := p.kinds[len(p.kinds)-1]
	for i := range y {
		y[i] = max(l.dual[i], 0)
		if last.single() {
			y[i] = min(y[i], float64(p.priceEach(last, i)))
		}
	}
	l.knap.fill(p.low, need, y, p.widest())
	part := 1.0
	for _, k := range p.kinds {
		if !k.limited && !k.single() && l.knap.value[k.room] > float64(k.cost) {
			part = min(part, float64(k.cost)/l.knap.value[k.room])
		}
	}
	sum := 0.0
	for i, v := range y {
		sum += part * v * float64(need[i])
	}
	for k := range l.hand {
		sum -= part * l.knap.value[p.kinds[k].room] * float64(most[k])
	}
	return max(int(math.Ceil(sum-1e-6*max(1, sum))), 0)
}

// knapsack finds the pieces of most worth for every room at once.
type knapsack struct {
	value []float64 // by room
	taken []bool    // by copy and room
	kind  []int     // by copy: its size
	size  []int
}

// fill works out all rooms up to one. Cost: pieces × units.
func (k *knapsack) fill(size, need []int, worth []float64, room int) {
	k.value = append(k.value[:0], make([]float64, room+1)...)
	k.taken, k.kind, k.size = k.taken[:0], k.kind[:0], size
	for i, n := range need {
		if worth[i] <= 1e-12 {
			continue
		}
		s := size[i]
		for range min(n, room/max(s, 1)) {
			at := len(k.taken)
			k.taken = append(k.taken, make([]bool, room+1)...)
			taken := k.taken[at:]
			k.kind = append(k.kind, i)
			for c := room; c >= s; c-- {
				if v := k.value[c-s] + worth[i]; v > k.value[c]+1e-12 {
					k.value[c], taken[c] = v, true
				}
			}
		}
	}
}

func (k *knapsack) pattern(room, sizes int) []int {
	pattern := make([]int, sizes)
	width := len(k.value)
	for copyNumber := len(k.kind) - 1; copyNumber >= 0; copyNumber-- {
		if k.taken[copyNumber*width+room] {
			pattern[k.kind[copyNumber]]++
			room -= k.size[k.kind[copyNumber]]
		}
	}
	return pattern
}
