// Package faults makes a small clean build and plants faults in it: each kind of fault in three variants, and a near miss that
// must stay silent. The files in testdata/builds/faults are written by its tests with the flag -golden.
package faults
