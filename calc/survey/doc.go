// Package survey says how long the runs of a build are, from its readings.
//
// A run has no length of its own: each reading states the sum of the runs on a path, and a length is what the readings
// say. A reading outlives the runs it was taken on. Where a run was split, its reading is of the parts together; where
// runs were joined, their readings add up.
//
// Latest takes the last reading of each path as it stands and works the others out by exact sums and differences. What
// that leaves open is said to be open, with the reason.
package survey
