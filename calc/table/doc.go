// Package table reads a pin list that a person pasted or imported: bytes in, typed rows out, with what was guessed and what
// is wrong by row number.
//
// A list comes as a file of a spreadsheet, from a mail, or as text copied from a page on a phone: of any alphabet, with any
// sign between cells, with headings or without, one cell to a line, with page numbers in between. Nothing is applied here
// and nothing is lost: each row of the source is one Row of the Result, good or bad or set aside, and says why. Every guess
// (alphabet, separator, headings, columns) is in the Result and can be set in Options for a second reading.
package table
