// Package wire holds what is known of a wire from its size: how thick it is, what it weighs, its resistance, the volts
// lost in it, the current it bears, the fuse that guards it, whether that fuse opens on a short before the wire is hurt,
// and the smallest size that passes all of that.
//
// Currents are amperes, resistances ohms, temperatures degrees Celsius, areas square millimetres, all float64; lengths are
// unit.Length and always conductor lengths, so that the way out and the way back both count. Every result that somebody
// acts on carries its terms. What no table reaches is an *UnknownError, never a number.
package wire
