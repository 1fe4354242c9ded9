package survey

// How a run's length was got.
type How string

// From the plainest to the least plain. The zero value is a run that is not measured.
const (
	OwnReading How = "reading"    // its own reading, the only one
	Mean       How = "mean"       // its own readings, each by its weight
	SumOf      How = "sum"        // readings of the runs that were joined to make it
	Difference How = "difference" // a longer reading less what is known of it
	SplitPart  How = "split part" // the reading of a run that was split, less the other parts
	Solved     How = "solved"     // several readings that only together settle it, and nothing checks them
	Adjusted   How = "adjusted"   // more readings than it takes, fitted to each other
)

// Account is where a length comes from.
type Account struct {
	How   How
	Terms []Term // the length is the sum of weight × value, rounded up to a nanometre
	Split string // with SplitPart: the run that was split
}

// Explain says where the length of a run comes from; the zero value if it is not known. Cost: readings × runs of each.
func (l *Lengths) Explain(run string) (a Account) {
	if _, ok := l.Run(run); !ok {
		return a
	}
	act := l.net.active(l.book.shares([]string{run}))
	a.Terms = l.terms(act)
	in := map[string]bool{}
	for _, t := range a.Terms {
		in[t.Reading] = true
	}
	own, checked, plus, minus, even := true, false, 0, 0, true
	for _, o := range l.net.obs {
		if !in[o.reading] {
			continue
		}
		own = own && len(o.runs) == 1 && o.runs[0] == run
		checked = checked || o.redundancy > unchecked
		w := l.net.cov(act, o.act) * o.weight()
		even = even && (w > 1-1e-9 && w < 1+1e-9 || w > -1-1e-9 && w < -1+1e-9)
		if w < 0 {
			minus++
			continue
		}
		plus++
		if was := l.book.was[o.reading][run]; was != "" && a.Split == "" {
			a.Split = was
		}
	}
	switch {
	case own && len(a.Terms) == 1:
		a.How = OwnReading
	case own:
		a.How = Mean
	case checked:
		a.How = Adjusted
	case !even || plus > 1 && minus > 0:
		a.How = Solved
	case minus == 0 && plus == 1 && a.Split == "":
		a.How = OwnReading
	case minus == 0:
		a.How = SumOf
	case a.Split != "":
		a.How = SplitPart
	default:
		a.How = Difference
	}
	if a.How != SplitPart {
		a.Split = ""
	}
	return a
}
