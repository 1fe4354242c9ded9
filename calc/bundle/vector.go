package bundle

// dot and add go four at a time: WebAssembly pays for every turn of a loop.
func dot(a, b []float64) (sum float64) {
	for len(a) >= 4 && len(b) >= 4 {
		sum += a[0]*b[0] + a[1]*b[1] + a[2]*b[2] + a[3]*b[3]
		a, b = a[4:], b[4:]
	}
	b = b[:len(a)]
	for k, x := range a {
		sum += x * b[k]
	}
	return sum
}

func longest(a []float64) (top float64) {
	for _, x := range a {
		if x < 0 {
			x = -x
		}
		if x > top { // several times as fast as max, which looks for NaN
			top = x
		}
	}
	return top
}

// add adds times · b to a.
func add(a []float64, times float64, b []float64) {
	for len(a) >= 4 && len(b) >= 4 {
		a[0] += times * b[0]
		a[1] += times * b[1]
		a[2] += times * b[2]
		a[3] += times * b[3]
		a, b = a[4:], b[4:]
	}
	b = b[:len(a)]
	for k := range a {
		a[k] += times * b[k]
	}
}
