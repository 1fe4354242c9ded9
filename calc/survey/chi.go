package survey

import "math"

// above returns the probability that a sum of so many squared standard normal errors is above x by chance: the upper
// regularised incomplete gamma function Q(n/2, x/2). It is exact to about 1e-12.
//
// Source: NIST Digital Library of Mathematical Functions, 8.7.1 (series) and 8.9.2 (continued fraction).
func above(x float64, n int) float64 {
	if x <= 0 || n <= 0 {
		return 1
	}
	a := float64(n) / 2
	x /= 2
	gamma, _ := math.Lgamma(a)
	front := math.Exp(a*math.Log(x) - x - gamma)
	if x < a+1 {
		term, sum := 1/a, 1/a
		for k := 1; term > sum*1e-16; k++ {
			term *= x / (a + float64(k))
			sum += term
		}
		return max(0, 1-front*sum)
	}
	// The fraction by the method of Lentz.
	b := x + 1 - a
	c, d := math.Inf(1), 1/b
	f := d
	for k := 1.0; k < 1000; k++ {
		num := k * (a - k)
		b += 2
		d = 1 / (b + num*d)
		c = b + num/c
		step := c * d
		f *= step
		if math.Abs(step-1) < 1e-15 {
			break
		}
	}
	return min(1, front*f)
}

// bound returns the sum of n squared standard normal errors that chance passes with this probability.
func bound(n int, probability float64) float64 {
	if n <= 0 {
		return 0
	}
	low, high := 0.0, 1.0
	for above(high, n) > probability {
		high *= 2
	}
	for range 200 {
		mid := (low + high) / 2
		if mid == low || mid == high {
			break
		}
		if above(mid, n) > probability {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}
