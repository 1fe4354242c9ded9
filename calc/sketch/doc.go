// Package sketch lays the route out as a drawing that fits the width of a phone: numbers only, nothing is drawn here.
//
// The controller stands at the top and its trunk runs straight down; branches peel off to the left and right, each in a
// lane of its own that runs down beside the trunk, and peel again outwards. Every place has a row on its side of the
// trunk, so names never meet; lanes that go further down lie further in, so the runs of the tree never cross.
package sketch
