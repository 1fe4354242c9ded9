package survey

import "math"

// invert replaces a symmetric positive definite matrix, n × n by rows, by its inverse, by the decomposition of Cholesky:
// N = L·Lᵀ, M = L⁻¹, N⁻¹ = Mᵀ·M. Zeros of L are passed over. Cost: n³/2 multiplications.
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
	for i := range n {
		row := a[i*n : i*n+i+1]
		for j := range i {
			other := a[j*n : j*n+j+1]
			row[j] = (row[j] - dot(row[:j], other[:j])) / other[j]
		}
		row[i] = math.Sqrt(math.Max(row[i]-dot(row[:i], row[:i]), 1e-15))
	}
	m := make([]float64, n*n)
	for i := range n {
		l, out := a[i*n:i*n+i+1], m[i*n:i*n+i+1]
		out[i] = 1
		for k := range i {
			add(out[:k+1], -l[k], m[k*n:k*n+k+1])
		}
		for j := range out {
			out[j] /= l[i]
		}
	}
	clear(a)
	for i := range n {
		row := m[i*n : i*n+i+1]
		for j, f := range row {
			add(a[j*n:j*n+j+1], f, row[:j+1])
		}
	}
	for i := range n {
		for j := range i + 1 {
			v := a[i*n+j] * d[i] * d[j]
			a[i*n+j], a[j*n+i] = v, v
		}
	}
}

func dot(x, y []float64) float64 {
	y = y[:len(x)]
	var s, t float64
	i := 0
	for ; i+1 < len(x); i += 2 {
		s += x[i] * y[i]
		t += x[i+1] * y[i+1]
	}
	if i < len(x) {
		s += x[i] * y[i]
	}
	return s + t
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
