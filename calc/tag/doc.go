// Package tag holds what is written on a tag and how large it must be: codes with a check sign, the text behind a
// QR square, what a scanned text is, and which modules a printer's dots can make.
//
// Nothing here opens, fetches or runs what was scanned. A scan is a text from a stranger: it is classified, and
// at most a code is taken from it.
package tag
