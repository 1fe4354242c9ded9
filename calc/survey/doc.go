// Package survey says how long the runs of a build are, from its readings, and how well that is known.
//
// A run has no length of its own: each reading states the sum of the runs on a path, give or take a standard deviation,
// and a length is what all readings together say. A run read by itself, a mark on a string and a check from end to end are
// the same thing. Adjust fits them by weighted least squares, as surveyors adjust a net of levels.
//
// A reading outlives the runs it was taken on. Where a run was split, its reading is of the parts together; where runs
// were joined, their readings add up.
//
// What readings settle is worked out without rounding, so that a run is either measured or said not to be, with the
// reason. No reading is left out in silence: the one that is most likely wrong is named, and a person throws it out.
package survey
