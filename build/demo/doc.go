// Package demo is a build to try everything on: an invented kit roadster, 3.6 m long, with an inline four. It belongs to
// no brand; pins, names, colours and lengths are our own, chosen as common practice would choose them.
//
// The build is written as tables: places.go (the walk), pins.go (the controller and its supplied leads) and wires.go
// (what is added). Log types them in, one edit per entry, as a person would; so the file has the history of a real
// build, with corrections, second readings and undo. Everything is made from names and fixed times: the same source
// gives the same bytes.
package demo
