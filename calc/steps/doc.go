// Package steps is the work at the bench and in the car, one thing after another, made from the build: from the lock of the
// controller's connector to the last tag. What a step is called stays the same while the build changes, so that what was
// ticked stays ticked.
//
// Source of the order: common practice.
package steps
