// Package bundle says how thick a loom is and what goes with that: wires packed in the smallest circle, twisted and
// sleeved groups inside it, the cover that fits, the bend it takes, its mass, the order in which it is laid up, and what it
// must be pulled through.
//
// All diameters are in millimetres unless a name says otherwise; packing works in any one unit.
package bundle
