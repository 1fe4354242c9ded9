package table

import "strings"

// guarded are the first signs by which a spreadsheet takes a cell for a formula or an instruction.
//
// Source: common practice against formula cells in exported lists.
const guarded = "=+-@\t\r"

// Guard returns a cell as a list writes it: a ' before a text that a spreadsheet would run, and before a text that begins
// with ' itself, so that Unguard gives back every text exactly.
func Guard(text string) string {
	if text != "" && (strings.IndexByte(guarded, text[0]) >= 0 || text[0] == '\'') {
		return "'" + text
	}
	return text
}

// Unguard takes exactly one ' off a cell that Guard put it on.
func Unguard(cell string) string {
	if len(cell) >= 2 && cell[0] == '\'' && (strings.IndexByte(guarded, cell[1]) >= 0 || cell[1] == '\'') {
		return cell[1:]
	}
	return cell
}
