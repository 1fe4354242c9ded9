// Package kit holds what the pages share: the frame around a page, the address of a page, buttons, fields, the
// number pad, the sketch, and the words for values and for what went wrong.
package kit
