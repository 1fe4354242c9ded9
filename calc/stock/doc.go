// Package stock plans how wires are cut from what is at hand and what must be bought, with the least bought: the
// one-dimensional cutting stock problem with several stock lengths.
//
// One plan is for wire of one size, colour and insulation; the caller sorts pieces and stock into such groups. With every
// plan comes a length below which no plan can go, so that it can be said how far it is from the best there is.
package stock
