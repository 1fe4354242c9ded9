// Package joint finds the tree of wires that joins three or more ends with the least copper: where the splices are, and
// the pieces of wire between them.
//
// A wire runs along the route from place to place without a break. Wires meet only at splices, and splices are made only
// where the caller allows them. So the tree is not one of runs: two pieces may lie side by side in a run, on their way
// through a place where no splice may be. It is a tree of shortest ways between ends and allowed places in which every end
// is a leaf.
package joint
