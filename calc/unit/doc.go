// Package unit holds the quantities that Loomwright counts in, as types: exact, and with one place for reading,
// rounding and showing them.
package unit
