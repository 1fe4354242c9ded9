package suspect

import "math"

// setUp is the minutes that any measurement takes beside the access: the meter, the thought. Source: our choice.
const setUp = 8

// next picks the measurement that splits what is left best per minute. One that was taken is not proposed again.
func (m *Model) next(v *Verdict, all []cand, left []int, taken []Answer) {
	if len(left) > mostWeighed {
		left = left[:mostWeighed]
	}
	had := map[string]bool{}
	for _, a := range taken {
		had[a.Measure] = true
	}
	total := 0.0
	for _, i := range left {
		total += all[i].weight
	}
	best := 0.0
	for k := range m.measures {
		x := &m.measures[k]
		if had[x.Key] {
			continue
		}
		var sums [mostAnswers]float64
		for _, i := range left {
			sums[m.answer(m.stateOf(&all[i]), x)] += all[i].weight / total
		}
		bits := 0.0
		for _, p := range sums {
			if p > 0 {
				bits -= p * math.Log2(p)
			}
		}
		if score := bits / (x.Minutes + setUp); bits > 1e-6 && score > best*(1+1e-9) {
			best, v.Next, v.Gains = score, x, bits
		}
	}
}

// mostWeighed is how many candidates measurements are weighed for. Source: our choice, beyond it the rest is too unlikely
// to change what comes first.
const mostWeighed = 80

// pairs2 returns two faults at once that explain together what is dead and leave alone what works.
func (m *Model) pairs2(tick []int, seen Seen) []cand {
	// One fault of each effect stands for its like: the likeliest.
	type effect struct {
		sign string
		all  []int
	}
	var effects []effect
	at := map[string]int{}
	for i := range m.hopes {
		h := &m.hopes[i]
		helps, harms := false, false
		for d, t := range tick {
			helps = helps || t == 1 && h.dead[d]
			harms = harms || t == 2 && h.dead[d]
		}
		if !helps || harms {
			continue
		}
		s := sign(h.dead, nil, tick)
		k, ok := at[s]
		if !ok {
			k = len(effects)
			at[s] = k
			effects = append(effects, effect{sign: s})
		}
		effects[k].all = append(effects[k].all, i)
	}
	var out []cand
	for a := range effects {
		for z := a + 1; z < len(effects); z++ {
			x, y := m.hopes[effects[a].all[0]].dead, m.hopes[effects[z].all[0]].dead
			covers := true
			for d, t := range tick {
				covers = covers && (t != 1 || x[d] || y[d])
			}
			if !covers {
				continue
			}
			s := sign(x, y, tick)
			for _, i := range effects[a].all {
				for _, k := range effects[z].all {
					if len(out) == mostPairs {
						return out
					}
					p, q := &m.hopes[i], &m.hopes[k]
					out = append(out, cand{h: [2]int{i, k}, weight: doubles * p.prior * q.prior * m.placed(p, seen) * m.placed(q, seen), sign: s + effects[a].sign + effects[z].sign})
				}
			}
		}
	}
	return out
}

// mostPairs bounds the work of a double fault. Source: our choice.
const mostPairs = 4000
