package frames

import (
	"image"
	"math"
)

// Readable tells whether a reader that knew where every module lies would read a picture of the scene: no more codewords
// are wrong than the level corrects, in every block, and four fifths of each corner mark are right. Other pictures are not
// fair to ask of any reader.
func (s *Scene) Readable(img *image.Gray) bool {
	wrong := s.wrong(img)
	n := len(wrong)
	for _, c := range [3][2]int{{0, 0}, {0, n - 7}, {n - 7, 0}} {
		bad := 0
		for i := range 7 {
			for j := range 7 {
				if wrong[c[0]+i][c[1]+j] {
					bad++
				}
			}
		}
		if bad > 49/5 {
			return false
		}
	}
	words := codewords(n)
	b := blocks[s.Version-1][s.Level]
	lost := make([]int, b.count)
	for k, bits := range words {
		for _, at := range bits {
			if wrong[at[0]][at[1]] {
				lost[k%b.count]++ // blocks are woven, one codeword of each in turn
				break
			}
		}
	}
	for _, l := range lost {
		if l > b.correct {
			return false
		}
	}
	return true
}

// wrong returns which modules look like the other colour, against the middle between the dark and the light ones around.
func (s *Scene) wrong(img *image.Gray) [][]bool {
	p, n := s.pose(), len(s.Modules)
	light := make([][]float64, n)
	for i := range n {
		light[i] = make([]float64, n)
		for j := range n {
			x, y := p.seen(float64(j)+0.5, float64(i)+0.5)
			light[i][j] = sample(img, x, y)
		}
	}
	const around = 3
	out := make([][]bool, n)
	for i := range n {
		out[i] = make([]bool, n)
		for j := range n {
			var sum [2]float64
			var count [2]int
			for y := max(i-around, 0); y <= min(i+around, n-1); y++ {
				for x := max(j-around, 0); x <= min(j+around, n-1); x++ {
					k := 0
					if s.Modules[y][x] != s.Inverted {
						k = 1
					}
					sum[k] += light[y][x]
					count[k]++
				}
			}
			if count[0] == 0 || count[1] == 0 {
				out[i][j] = true
				continue
			}
			middle := (sum[0]/float64(count[0]) + sum[1]/float64(count[1])) / 2
			out[i][j] = (light[i][j] < middle) != (s.Modules[i][j] != s.Inverted)
		}
	}
	return out
}

// sample returns the light at a point of the picture, 255 outside of it.
func sample(img *image.Gray, x, y float64) float64 {
	x, y = x-0.5, y-0.5
	x0, y0 := math.Floor(x), math.Floor(y)
	i, j := int(x0), int(y0)
	if i < 0 || j < 0 || i+1 >= Side || j+1 >= Side {
		return 255
	}
	fx, fy := x-x0, y-y0
	at := func(i, j int) float64 { return float64(img.Pix[j*img.Stride+i]) }
	return (at(i, j)*(1-fx)+at(i+1, j)*fx)*(1-fy) + (at(i, j+1)*(1-fx)+at(i+1, j+1)*fx)*fy
}

// block is how many blocks a symbol has and how many codewords of each may be wrong.
type block struct{ count, correct int }

// blocks of versions 1 to 4 at levels L, M, Q, H.
//
// Source: ISO/IEC 18004, table 9; version 1 keeps some of its codewords for noticing what it cannot correct.
var blocks = [4][4]block{
	{{1, 2}, {1, 4}, {1, 6}, {1, 8}},
	{{1, 4}, {1, 8}, {1, 11}, {1, 14}},
	{{1, 7}, {1, 13}, {2, 9}, {2, 11}},
	{{1, 10}, {2, 9}, {2, 13}, {4, 8}},
}

// codewords returns the modules of each codeword, row and column, in the order they are laid: in pairs of columns from the
// right, up and down in turn.
//
// Source: ISO/IEC 18004, 7.7.3, for versions 2 to 6 with their one alignment mark, and version 1 without.
func codewords(n int) [][8][2]int {
	fixed := func(i, j int) bool {
		if i < 9 && j < 9 || i < 9 && j >= n-8 || i >= n-8 && j < 9 || i == 6 || j == 6 {
			return true
		}
		return n > 21 && i >= n-9 && i <= n-5 && j >= n-9 && j <= n-5
	}
	var all [][8][2]int
	var word [8][2]int
	bits, up := 0, true
	for right := n - 1; right > 0; right -= 2 {
		if right == 6 {
			right--
		}
		for k := range n {
			i := k
			if up {
				i = n - 1 - k
			}
			for _, j := range [2]int{right, right - 1} {
				if fixed(i, j) {
					continue
				}
				word[bits] = [2]int{i, j}
				if bits++; bits == 8 {
					all, bits = append(all, word), 0
				}
			}
		}
		up = !up
	}
	return all
}
