package calc

import (
	"fmt"
	"math"

	"loomwright/calc/stock"
	"loomwright/calc/unit"
)

type stockRequest struct {
	head
	Stock   *float64  `json:"stock_mm"`
	Lengths []float64 `json:"lengths_mm"`
}

// cutStock cuts lengths from stocks of one length, as many as it takes, with nothing lost at a cut.
func cutStock(in stockRequest) (any, error) {
	if err := need("stock", field{"stock_mm", in.Stock != nil}, field{"lengths_mm", in.Lengths != nil}); err != nil {
		return nil, err
	}
	whole, err := millimetres(*in.Stock)
	if err != nil {
		return nil, err
	}
	cuts := make([]unit.Length, len(in.Lengths))
	for i, mm := range in.Lengths {
		if cuts[i], err = millimetres(mm); err != nil {
			return nil, err
		}
	}
	p, err := stock.Cut(cuts, stock.Supply{Spools: []unit.Length{whole}})
	if err != nil {
		return nil, err
	}
	if len(p.Uncut) > 0 {
		return nil, fmt.Errorf("calc: stock: a length of %v mm is longer than the stock", in.Lengths[p.Uncut[0]])
	}
	out := struct {
		Stocks int         `json:"stocks"`
		Lower  int         `json:"lower_bound"` // no plan takes fewer
		Plan   [][]float64 `json:"plan"`        // what is cut from each, in mm
	}{len(p.Stocks), int((p.Lower + whole - 1) / whole), make([][]float64, len(p.Stocks))}
	for i, s := range p.Stocks {
		for _, c := range s.Cuts {
			out.Plan[i] = append(out.Plan[i], in.Lengths[c])
		}
	}
	return out, nil
}

// millimetres is a length to cut to the nearest nanometre.
func millimetres(mm float64) (unit.Length, error) {
	if most := unit.Longest.MM(); !(mm > 0) || mm > most {
		return 0, fmt.Errorf("calc: stock: %v mm is not above 0 and at most %v", mm, most)
	}
	return unit.Length(math.Round(mm * float64(unit.Millimetre))), nil
}
