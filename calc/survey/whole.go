package survey

import (
	"math/big"
	"math/bits"
)

// whole is an integer of any size. One that fits into 64 bits, as nearly all do, needs no memory of its own.
type whole struct {
	n   int64
	big *big.Int // where n is too small for it
}

func (a whole) wide() *big.Int {
	if a.big != nil {
		return a.big
	}
	return big.NewInt(a.n)
}

// narrow takes a result back into 64 bits if it fits, the least of them apart, whose negative would not.
func narrow(v *big.Int) whole {
	if v.IsInt64() && v.BitLen() < 64 {
		return whole{n: v.Int64()}
	}
	return whole{big: v}
}

func (a whole) sign() int {
	if a.big != nil {
		return a.big.Sign()
	}
	switch {
	case a.n < 0:
		return -1
	case a.n > 0:
		return 1
	}
	return 0
}

// one reports whether it is 1 or -1.
func (a whole) one() bool { return a.big == nil && (a.n == 1 || a.n == -1) }

func (a whole) neg() whole {
	if a.big != nil {
		return whole{big: new(big.Int).Neg(a.big)}
	}
	return whole{n: -a.n}
}

func (a whole) abs() whole {
	if a.sign() < 0 {
		return a.neg()
	}
	return a
}

func (a whole) less(b whole) bool {
	if a.big == nil && b.big == nil {
		return a.n < b.n
	}
	return a.wide().Cmp(b.wide()) < 0
}

func (a whole) mul(b whole) whole {
	if a.big == nil && b.big == nil {
		hi, lo := bits.Mul64(uint64(a.abs().n), uint64(b.abs().n))
		if hi == 0 && lo < 1<<63 {
			if (a.n < 0) != (b.n < 0) {
				return whole{n: -int64(lo)}
			}
			return whole{n: int64(lo)}
		}
	}
	return narrow(new(big.Int).Mul(a.wide(), b.wide()))
}

func (a whole) sub(b whole) whole {
	if a.big == nil && b.big == nil {
		d := a.n - b.n
		if (a.n < 0) == (b.n < 0) || (d < 0) == (a.n < 0) && d != -1<<63 {
			return whole{n: d}
		}
	}
	return narrow(new(big.Int).Sub(a.wide(), b.wide()))
}

// over divides by a divisor of a.
func (a whole) over(b whole) whole {
	if a.big == nil && b.big == nil {
		return whole{n: a.n / b.n}
	}
	return narrow(new(big.Int).Quo(a.wide(), b.wide()))
}

// gcd is the greatest common divisor, never below zero; that of 0 and b is |b|.
func (a whole) gcd(b whole) whole {
	if a.big != nil || b.big != nil {
		return narrow(new(big.Int).GCD(nil, nil, a.abs().wide(), b.abs().wide()))
	}
	x, y := a.abs().n, b.abs().n
	for y != 0 {
		x, y = y, x%y
	}
	return whole{n: x}
}
