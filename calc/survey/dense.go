package survey

import "math"

// invert replaces a symmetric positive definite matrix, n × n by rows, by its inverse, by the decomposition of Cholesky:
// N = L·Lᵀ, M = L⁻¹, N⁻¹ = Mᵀ·M. Zeros of L and M are passed over. Cost: at most n³/2 multiplications, and a fraction of it
// where rows with few entries come first.
//
// It works on D·N·D with D = 1/√Nᵢᵢ, which has ones on its diagonal. A pivot is kept off zero by rounding at most: who
// calls it has proved that the matrix has full rank, and weights are within a factor of 4 million of each other.
//
// Source: Golub and Van Loan, Matrix Computations, 4th ed., section 4.2.
func invert(a []float64, n int) {
	d := make([]float64, n)
	for i := range n {
		d[i] = 1 / math.Sqrt(a[i*n+i])
	}
	for i := range n {
		row := a[i*n : i*n+i+1]
		for j := range row {
			row[j] *= d[i] * d[j]
		}
	}
	rows, column := make([]int, 0, n), make([]float64, 0, n)
	for k := range n {
		pivot := math.Sqrt(math.Max(a[k*n+k], 1e-15))
		a[k*n+k] = pivot
		rows, column = rows[:0], column[:0]
		for i := k + 1; i < n; i++ {
			if v := a[i*n+k]; v != 0 {
				a[i*n+k] = v / pivot
				rows, column = append(rows, i), append(column, v/pivot)
			}
		}
		for x, i := range rows {
			f, row := column[x], a[i*n:(i+1)*n]
			for y, j := range rows[:x+1] {
				row[j] -= f * column[y]
			}
		}
	}
	m := make([]float64, n*n)
	first := make([]int, n) // by row of m: where it begins
	for i := range n {
		l, out := a[i*n:i*n+i+1], m[i*n:i*n+i+1]
		out[i], first[i] = 1, i
		for k := range i {
			if l[k] != 0 {
				from := first[k]
				add(out[from:k+1], -l[k], m[k*n+from:k*n+k+1])
				first[i] = min(first[i], from)
			}
		}
		for j := first[i]; j <= i; j++ {
			out[j] /= l[i]
		}
	}
	clear(a)
	for i := range n {
		row := m[i*n : i*n+i+1]
		for j := first[i]; j <= i; j++ {
			add(a[j*n+first[i]:j*n+j+1], row[j], row[first[i]:j+1])
		}
	}
	for i := range n {
		for j := range i + 1 {
			v := a[i*n+j] * d[i] * d[j]
			a[i*n+j], a[j*n+i] = v, v
		}
	}
}

// add adds f times x to sum.
func add(sum []float64, f float64, x []float64) {
	if f == 0 {
		return
	}
	sum = sum[:len(x)]
	for i, v := range x {
		sum[i] += f * v
	}
}
