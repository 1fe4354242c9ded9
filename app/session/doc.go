// Package session is the app's open build: it applies a person's edits, undoes them, keeps them in the store, and
// holds what is computed from them, so that every page shows the same numbers.
//
// All of it belongs to the goroutine that draws, except what its comment says of other goroutines.
package session
