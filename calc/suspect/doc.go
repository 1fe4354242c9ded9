// Package suspect finds what dead devices share: from those that are dead and those that work it ranks what would explain
// it, and says which measurement splits what is left best. It looks at the wiring as a graph of pieces that can fail: wires,
// splices, pins, plugs, fuses, relays, grounds, pass-throughs, the devices and the outputs of the controller themselves.
package suspect
