package board

// straight offers a run in each direction that is free at its place.
func (a *attempt) straight(from, to int, offer func(option)) {
	for d := range a.dirs {
		gap := a.apartAt(from, d)
		if gap == 0 {
			continue
		}
		q := a.at[from].plus(a.dirs[d].times(a.Length[to]))
		offer(option{line: []Point{a.at[from], q}, last: d, cost: a.turning(from, to, d, gap) + a.crowding(to, q, d)})
	}
}

// steps is how many directions there are to a sixteenth of a turn and the like, whatever their number.
func (a *attempt) degrees(steps int) float64 { return float64(steps) * 360 / float64(len(a.dirs)) }

// turning is the cost of a direction: a trunk goes straight on, a branch leaves forwards at a wide angle.
func (a *attempt) turning(from, to, d, gap int) float64 {
	turn := a.degrees(a.gap(d, a.heading[from]))
	cost := 0.0
	if a.children[from][0] == to {
		cost = turn / 15
		if turn > 90 {
			cost += 3
		}
	} else {
		cost = max(turn-60, 60-turn) / 40
		if turn > 120 {
			cost += 1
		}
	}
	switch between := a.degrees(gap); {
	case between < 29:
		cost += 1.5
	case between < 44:
		cost += 0.4
	}
	return cost
}

// crowding is the cost of an end that leaves little room for what splits up there.
func (a *attempt) crowding(to int, q Point, d int) float64 {
	if len(a.children[to]) == 0 {
		return 2 * (1 - a.near(q, tipNear)/tipNear)
	}
	reach := a.reach[to]
	wanted := min(roomNear, reach)
	return 8*(1-a.ahead(q, a.dirs[d], reach)/reach) + 6*(1-a.near(q, wanted)/wanted)
}

// bent offers a run with one bend.
func (a *attempt) bent(from, to int, offer func(option)) {
	length, p := a.Length[to], a.at[from]
	if length < 2*stretch {
		return
	}
	quarter := len(a.dirs) / 4
	for d := range a.dirs {
		gap := a.apartAt(from, d)
		if gap == 0 {
			continue
		}
		open := a.ahead(p, a.dirs[d], length)
		for _, first := range [...]float64{open - a.clear - 1, 0.3 * length, 0.5 * length, 0.7 * length} {
			if first < stretch || length-first < stretch || first > open {
				continue
			}
			corner := p.plus(a.dirs[d].times(first))
			if !a.free(p, corner, 0) {
				continue
			}
			for by := -2*quarter + 2; by <= 2*quarter-2; by++ {
				if by > -2 && by < 2 {
					continue
				}
				e := a.turned(d, by)
				q := corner.plus(a.dirs[e].times(length - first))
				offer(option{line: []Point{p, corner, q}, last: e,
					cost: 8 + a.turning(from, to, d, gap) + a.degrees(max(by, -by))/30 + a.crowding(to, q, e)})
			}
		}
	}
}

// folded offers a run in two and more passes beside each other.
func (a *attempt) folded(from, to int, offer func(option)) {
	const most = 24
	length, p := a.Length[to], a.at[from]
	quarter := len(a.dirs) / 4
	wide := max(foldWide, a.clear+1)
	for passes := 2; passes <= most; passes++ {
		each := (length - float64(passes-1)*wide) / float64(passes)
		if each < stretch {
			return
		}
		found := false
		for d := range a.dirs {
			gap := a.apartAt(from, d)
			if gap == 0 || !a.free(p, p.plus(a.dirs[d].times(each)), 0) {
				continue
			}
			for _, side := range [2]int{quarter, -quarter} {
				across, now, at := a.turned(d, side), d, p
				line := []Point{p}
				for i := range passes {
					if i > 0 {
						at = at.plus(a.dirs[across].times(wide))
						line = append(line, at)
						now = a.turned(now, len(a.dirs)/2)
					}
					at = at.plus(a.dirs[now].times(each))
					line = append(line, at)
				}
				found = found || a.lies(line)
				offer(option{line: line, last: now, cost: 16 + 4*float64(passes) + a.turning(from, to, d, gap) + a.crowding(to, at, now)})
			}
		}
		if found {
			return
		}
	}
}
