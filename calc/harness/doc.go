// Package harness holds the records of a build: what is planned, routed, wired, cut and tagged.
//
// A record is a plain struct with a kind and an id. It is stored field by field (see package storage), so each
// exported field here is one JSON field of the build file, and a field's name, unit and meaning never change: a
// new meaning takes a new name. Lengths are integers of nanometres. A list is one value, replaced whole; what two
// people may add to separately is a record of its own with an Order.
//
// A state is judged, never refused: a reference to a record that is gone stays, and becomes a finding.
package harness
