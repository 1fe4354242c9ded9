// Package supply is what a build is made from: which wire on hand each added wire is cut from, what short leads are extended
// with, and what must be bought of everything.
package supply
