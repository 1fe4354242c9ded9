package table

import (
	"math"
	"strings"
)

// align puts tokens into columns in order, each column taking none, one or several that follow each other, so that what the
// columns hold looks most like what they should. gaps are the spaces before each token. With cyclic the tokens are the
// cells of many rows, one after another, and each row must have a cavity.
//
// It returns for each token its row (0 without cyclic) and column. Cost: tokens × columns × the longest cell.
func align(tokens []string, gaps []int, columns []Column, cyclic bool) (row, column []int) {
	k, n := len(columns), len(tokens)
	type step struct {
		score float64
		span  int // tokens taken by the column before; -1 is the start of another row
	}
	best := make([][]step, n+1)
	for i := range best {
		best[i] = make([]step, k+1)
		for f := range best[i] {
			best[i][f] = step{score: math.Inf(-1)}
		}
	}
	best[0][0].score = 0
	for i := 0; i <= n; i++ {
		for range 2 { // columns left empty end a row, and others begin the next
			if cyclic && best[i][k].score > best[i][0].score {
				best[i][0] = step{best[i][k].score, -1}
			}
			for f := range k {
				if s := best[i][f].score + fit(columns[f], nil, nil, cyclic); s > best[i][f+1].score {
					best[i][f+1] = step{s, 0}
				}
			}
		}
		for f := range k {
			from := best[i][f].score
			if math.IsInf(from, -1) {
				continue
			}
			for span := 1; span <= longest(columns[f].Field, cyclic) && i+span <= n; span++ {
				var g []int
				if gaps != nil {
					g = gaps[i : i+span]
				}
				if s := from + fit(columns[f], tokens[i:i+span], g, cyclic); s > best[i+span][f+1].score {
					best[i+span][f+1] = step{s, span}
				}
			}
		}
	}
	row, column = make([]int, n), make([]int, n)
	i, f, rows := n, k, 0
	if cyclic { // the last row may end anywhere
		for last := range k + 1 {
			if best[n][last].score > best[n][f].score {
				f = last
			}
		}
	}
	for i > 0 || f > 0 {
		s := best[i][f]
		switch {
		case math.IsInf(s.score, -1): // nothing fits: all to the last column
			for j := range i {
				row[j], column[j] = rows, k-1
			}
			i, f = 0, 0
		case s.span < 0:
			f, rows = k, rows+1
		default:
			for j := i - s.span; j < i; j++ {
				row[j], column[j] = rows, f-1
			}
			i, f = i-s.span, f-1
		}
	}
	for j := range row {
		row[j] = rows - row[j]
	}
	return row, column
}

// longest is how many tokens a column may take.
func longest(f Field, cyclic bool) int {
	switch {
	case cyclic && f.free():
		return 4 // lines of a wrapped text
	case cyclic, f == Cavity:
		return 1
	case f.free():
		return 60
	}
	return 4
}

// free reports whether a field holds a text of any kind.
func (f Field) free() bool {
	return f == Function || f == Note || f == Legend || f == Unused || f == Insulation || f == Group
}

// fit is how well tokens look as a cell of a column. The weights are our choice, so that a unit or a known colour outweighs
// a text that would take the word, and an empty cell is better than one that makes no sense.
func fit(c Column, tokens []string, gaps []int, cyclic bool) float64 {
	const never = -1000
	if len(tokens) == 0 {
		switch {
		case c.Field == Cavity || c.Field == ConnectorCavity:
			if cyclic {
				return never
			}
			return -8
		case c.Field.free():
			return -1
		}
		return -1.5
	}
	text := strings.Join(tokens, " ")
	score := 0.0
	for i, g := range gaps {
		switch {
		case i == 0 && g == 1:
			score -= 0.3 // a column seldom begins after a single space
		case i > 0 && g > 1:
			score -= 2 // a cell seldom has a wide gap in it
		}
	}
	several := float64(len(tokens) - 1)
	switch f := c.Field; {
	case f.free():
		if cyclic {
			score -= 1.5 * several
			if isNumber(strings.ReplaceAll(text, " ", "")) || colourScore(text) > 0 {
				score -= 3
			}
		}
		if f != Function {
			score -= 0.5 + 0.2*several
		}
		return score
	case f == Cavity:
		if cavityLike(text) {
			if hasDigit(text) {
				return score + 5
			}
			return score + 2
		}
		return score - 6
	case f == ConnectorCavity:
		if _, _, ok := partCavity(text); ok || cavityLike(text) {
			return score + 5 - several
		}
		return score - 6
	case f == Connector:
		if cavityLike(text) {
			return score + 2 - several
		}
		return score - 2 - several
	case empty(text) && len(tokens) == 1:
		return score + 1
	case f == Size:
		if s := sizeScore(text, c.Unit); s > 0 {
			return score + 2 + 2*float64(s)
		}
		if hasDigit(text) {
			return score - 3 - 2*several
		}
	case f == Length:
		if s := lengthScore(text, c.Unit); s > 0 {
			return score + 2 + 2*float64(s)
		}
		if hasDigit(text) {
			return score - 3 - 2*several
		}
	case f == Colour || f == Base || f == Tracer:
		if s := colourScore(text); s > 0 {
			return score + 3 + float64(s) - 0.2*several
		}
		if !hasDigit(text) {
			return score - 2.5 - 2*several
		}
	case f == SignalField || f == DirectionField:
		if s, way := parseSignal(text); s != "" || way != "" {
			return score + 4
		}
		return score - 2.5 - 2*several
	}
	return score - 6 - 3*several
}
