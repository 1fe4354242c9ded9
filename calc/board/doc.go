// Package board lays a harness flat on a bench in true lengths: numbers only, nothing is drawn here.
//
// Lay takes a tree of lengths and finds a position for each place so that no two lines cross, branches leave at angles that
// can be told apart, and every line is exactly as long as its run, folded where the bench is too small for it straight. New
// makes that tree of a build: the runs with what lengthens them, the wires that pass them, and their covers. Marks is the same
// for a bench with a tape and no drawing.
package board
