// Package route finds the way of a wire through the runs of a build, and what is wrong with the runs as a whole.
//
// Places and runs make a graph: two runs may lead between the same two places, and it need not hang together. Every
// wire takes one way: the shortest inside the looms it may use, or the shortest through the places it must pass.
package route
