package survey

import "math/bits"

// prime is the number that rows are counted modulo of: 2⁶¹-1.
const prime = 1<<61 - 1

// residue is a whole number modulo prime, from 0 to prime-1. Sums and products of residues are exact, and every one but 0 divides.
type residue uint64

// residueOf returns the residue of a number.
func residueOf(n int64) residue {
	r := n % prime
	if r < 0 {
		r += prime
	}
	return residue(r)
}

func (a residue) mul(b residue) residue {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	// hi·2⁶⁴ + lo, and 2⁶¹ is 1.
	sum := lo&prime + (lo>>61 | hi<<3)
	if sum >= prime {
		sum -= prime
	}
	return residue(sum)
}

func (a residue) sub(b residue) residue {
	if a >= b {
		return a - b
	}
	return a + prime - b
}

// inverse returns what a is multiplied by to give 1; a is not 0. By Fermat it is a to the power prime-2.
func (a residue) inverse() residue {
	r := residue(1)
	for e := uint64(prime - 2); e > 0; e >>= 1 {
		if e&1 == 1 {
			r = r.mul(a)
		}
		a = a.mul(a)
	}
	return r
}
