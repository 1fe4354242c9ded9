// Package cut says how long a wire must be, and why: the runs on its way, what lengthens each run, what each end needs,
// and the rounding, every term with its reason and its source.
//
// A wire that is made new is cut to that length. A supplied lead has its length already, so for a lead the question is the
// other way round: does it reach, and with how much of its tail.
package cut
