package table

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Separator is how a source parts its cells.
type Separator string

// The ways to part cells. The zero value is "find out".
const (
	Comma     Separator = "comma"
	Semicolon Separator = "semicolon"
	Tab       Separator = "tab"
	Pipe      Separator = "pipe"
	Spaces    Separator = "two or more spaces"
	Words     Separator = "single spaces"     // cells are told apart by what they look like
	Lines     Separator = "one cell per line" // likewise, down the page
)

// Separators lists them in the order in which they are tried and offered.
var Separators = []Separator{Tab, Semicolon, Pipe, Comma, Spaces, Words, Lines}

// sign is the sign between cells, 0 for the others.
func (s Separator) sign() byte {
	switch s {
	case Comma:
		return ','
	case Semicolon:
		return ';'
	case Tab:
		return '\t'
	case Pipe:
		return '|'
	}
	return 0
}

// loose reports whether cells may be wrapped and missing without a trace, as in text copied from a page.
func (s Separator) loose() bool { return s == Spaces || s == Words || s == Lines }

// record is one row of the source as it was split.
type record struct {
	line   int // of its first line, from 1
	cells  []string
	at     []int // with Spaces: the column of signs at which each cell begins
	gaps   []int // with Words: the spaces before each word
	quoted bool  // a cell was in quotes: the row is not blank
	open   bool  // a quote was not closed; it was taken as a sign
}

func (r record) blank() bool {
	for _, c := range r.cells {
		if strings.TrimSpace(c) != "" {
			return false
		}
	}
	return !r.quoted
}

// filled returns how many cells hold something.
func (r record) filled() (n int) {
	for _, c := range r.cells {
		if strings.TrimSpace(c) != "" {
			n++
		}
	}
	return n
}

func split(text string, sep Separator) []record {
	if sign := sep.sign(); sign != 0 {
		return separated(text, sign)
	}
	var out []record
	for i, line := range lines(text) {
		r := record{line: i + 1}
		switch sep {
		case Lines:
			r.cells = []string{strings.TrimSpace(line)}
		case Words:
			if r.cells, r.gaps = words(line); len(r.cells) > mostWords { // the rest is one word
				r.cells[mostWords-1] = strings.Join(r.cells[mostWords-1:], " ")
				r.cells, r.gaps = r.cells[:mostWords], r.gaps[:mostWords]
			}
		default:
			r.cells, r.at = spaced(line)
		}
		out = append(out, r)
	}
	return out
}

// lines parts a text at CR LF, LF and CR. A line end at the very end starts no line.
func lines(text string) []string {
	var out []string
	for text != "" {
		i := strings.IndexAny(text, "\r\n")
		if i < 0 {
			return append(out, text)
		}
		out = append(out, text[:i])
		if strings.HasPrefix(text[i:], "\r\n") {
			i++
		}
		text = text[i+1:]
	}
	return out
}

// spaced parts a line at tabs and at runs of two spaces or more.
func spaced(line string) (cells []string, at []int) {
	tokens, gaps := words(line)
	column := 0
	for i, t := range tokens {
		column += gaps[i]
		if i > 0 && gaps[i] == 1 {
			cells[len(cells)-1] += " " + t
		} else {
			cells, at = append(cells, t), append(at, column)
		}
		column += utf8.RuneCountInString(t)
	}
	return cells, at
}

// words parts a line at every space; a tab counts as eight.
func words(line string) (tokens []string, gaps []int) {
	gap, start := 0, -1
	for i, r := range line {
		if unicode.IsSpace(r) {
			if start >= 0 {
				tokens, start, gap = append(tokens, line[start:i]), -1, 0
			}
			if gap++; r == '\t' {
				gap += 7
			}
		} else if start < 0 {
			start, gaps = i, append(gaps, gap)
		}
	}
	if start >= 0 {
		tokens = append(tokens, line[start:])
	}
	return tokens, gaps
}

// separated parts a text at a sign outside of quotes. A quote opens a cell only as its first sign, and closes it only
// before a separator or a line end; a quote that is not closed so, or a cell of several lines with stray quotes in it, is
// no quoted cell: the quote is a sign like others, and the row is marked.
//
// Source: RFC 4180, where the source keeps to it.
func separated(text string, comma byte) []record {
	var out []record
	for i, line := 0, 1; i < len(text); {
		r := record{line: line}
		for {
			cell, next, breaks, is := quoted(text[i:], comma)
			more := len(r.cells) < MaxColumns // else the rest of the line is one cell
			switch {
			case is && more:
				r.quoted = true
				line += breaks
			default:
				next = len(text) - i
				for j := i; j < len(text); j++ {
					if more && text[j] == comma || text[j] == '\n' || text[j] == '\r' {
						next = j - i
						break
					}
				}
				cell = text[i : i+next]
				if strings.HasPrefix(cell, `"`) && len(cell) > 1 && !strings.HasSuffix(cell, `"`) && strings.Count(cell, `"`)%2 == 1 {
					r.open = true
				}
			}
			r.cells = append(r.cells, cell)
			i += next
			if i >= len(text) || text[i] != comma {
				break
			}
			i++
		}
		if i < len(text) {
			if text[i] == '\r' && i+1 < len(text) && text[i+1] == '\n' {
				i++
			}
			i++
		}
		line++
		out = append(out, r)
	}
	return out
}

// longestQuoted is how many bytes a cell in quotes may have; a quote that is not closed by then is not meant as one. A row
// of more than mostWords words is no row of a list. Source: our choice.
const (
	longestQuoted = 8 * MaxCell
	mostWords     = 120
)

// quoted reads a cell in quotes at the start of a text: its content, where it ends and how many line ends are in it.
func quoted(text string, comma byte) (cell string, next, breaks int, ok bool) {
	if !strings.HasPrefix(text, `"`) {
		return "", 0, 0, false
	}
	var b strings.Builder
	stray := false
	for i := 1; i < min(len(text), longestQuoted); i++ {
		switch c := text[i]; {
		case c == '"' && i+1 < len(text) && text[i+1] == '"':
			i++
			b.WriteByte('"')
		case c == '"' && (i+1 == len(text) || text[i+1] == comma || text[i+1] == '\n' || text[i+1] == '\r'):
			return b.String(), i + 1, breaks, !(stray && breaks > 0)
		default:
			if c == '"' {
				stray = true
			}
			if c == '\n' || c == '\r' && (i+1 == len(text) || text[i+1] != '\n') {
				breaks++
			}
			b.WriteByte(c)
		}
	}
	return "", 0, 0, false
}
