// Package prove makes the tests of a harness from the records of a build: what to do in which order, where each probe goes,
// what the meter should show and why, and whether what it showed is good.
//
// A test has an id that is made of the records it is about, so that results stay with it when the build changes elsewhere.
package prove
