// Package wires is the page of the wires: the list with its search and bulk changes, the card of one wire with the length
// it needs and every reason for it, and the making of a new wire from two places.
package wires
