package table

import (
	"slices"
	"strings"
)

// place puts the cells of rows that are still open into the columns, and joins wrapped texts to their rows. A row that is
// taken for a pin is marked Good until a fault says otherwise.
func (rd *reader) place() {
	if rd.result.Separator == Lines {
		rd.placeLines()
		return
	}
	rows, before := rd.result.Rows, -1
	for i := range rows {
		row, rec := &rows[i], rd.records[i]
		if row.Is != "" {
			continue
		}
		if rd.loose() && before >= 0 && rd.wrapped(rec, rd.records[before]) {
			row.Is, row.Of = Part, before+1
			if first := &rd.records[before]; rd.result.Separator == Words {
				first.cells = append(slices.Clone(first.cells), rec.cells...)
				first.gaps = append(slices.Clone(first.gaps), rec.gaps...)
				first.gaps[len(first.gaps)-len(rec.gaps)] = 1
				rd.fill(&rows[before], *first)
			} else {
				rd.join(&rows[before], rec, *first)
			}
			continue
		}
		row.Is = Good
		rd.fill(row, rec)
		before = i
	}
}

// fill sets the cells of a row by column.
func (rd *reader) fill(row *Row, rec record) {
	columns := rd.result.Columns
	switch sep := rd.result.Separator; {
	case sep == Spaces && rd.heading >= 0 && rd.underHeadings(row, rec):
	case sep == Words, sep == Spaces && (len(rec.cells) != len(columns) || !rd.fits(rec)):
		tokens, gaps := rec.cells, rec.gaps
		if sep == Spaces {
			tokens, gaps = nil, nil
			for i, cell := range rec.cells {
				for j, t := range strings.Fields(cell) {
					gap := 1
					if j == 0 && i > 0 {
						gap = 2
					}
					tokens, gaps = append(tokens, t), append(gaps, gap)
				}
			}
		}
		row.Cells = make([]string, len(columns))
		_, column := align(tokens, gaps, columns, false)
		for i, t := range tokens {
			c := &row.Cells[column[i]]
			*c = strings.TrimSpace(*c + " " + t)
		}
	default:
		row.Cells = rec.cells
	}
}

// underHeadings sets the cells of a row each of which begins where a heading does, and reports whether that is so.
func (rd *reader) underHeadings(row *Row, rec record) bool {
	at := rd.records[rd.heading].at
	if len(at) != len(rd.result.Columns) {
		return false
	}
	cells := make([]string, len(at))
	for i, cell := range rec.cells {
		column := slices.IndexFunc(at, func(a int) bool { return distance(a, rec.at[i]) <= 1 })
		if column < 0 || cells[column] != "" {
			return false
		}
		cells[column] = cell
	}
	row.Cells = cells
	return true
}

// fits reports whether the first cell of a row can be what its column is.
func (rd *reader) fits(rec record) bool {
	switch first := rd.result.Columns[0].Field; first {
	case Cavity:
		return cavityLike(rec.cells[0])
	case ConnectorCavity:
		_, _, ok := partCavity(rec.cells[0])
		return ok || cavityLike(rec.cells[0])
	}
	return true
}

// wrapped reports whether a row goes on with the texts of the one before: it begins further in, or with no cavity, and
// has one or two cells.
func (rd *reader) wrapped(rec, before record) bool {
	if len(rec.cells) == 0 {
		return false
	}
	first := firstWord(strings.TrimSpace(rec.cells[0]))
	if rd.result.Separator == Words {
		further := rec.gaps[0] >= before.gaps[0]+2
		return further || !hasDigit(first) && !(len(first) <= 2 && strings.ToUpper(first) == first)
	}
	further := rec.at[0] >= before.at[0]+2
	_, _, both := partCavity(first)
	return len(rec.cells) <= 2 && (further || !cavityLike(first) && !both)
}

// join appends a wrapped text to the column it stands under, or to the function.
func (rd *reader) join(row *Row, rec, before record) {
	columns := rd.result.Columns
	text := -1
	for i, c := range columns {
		if c.Field.free() && (text < 0 || c.Field == Function) {
			text = i
		}
	}
	if text < 0 {
		text = len(columns) - 1
	}
	for i, cell := range rec.cells {
		column := text
		if len(before.at) == len(columns) && rec.at[0] >= before.at[0]+2 {
			nearest := -1
			for c, at := range before.at {
				if d := distance(at, rec.at[i]); columns[c].Field.free() && (nearest < 0 || d < distance(before.at[nearest], rec.at[i])) {
					nearest = c
				}
			}
			if nearest >= 0 {
				column = nearest
			}
		}
		rd.append(row, column, cell)
	}
}

func distance(a, b int) int { return max(a-b, b-a) }

func (rd *reader) append(row *Row, column int, text string) {
	for len(row.Cells) <= column {
		row.Cells = append(row.Cells, "")
	}
	if c := &row.Cells[column]; *c == "" {
		*c = text
	} else {
		*c += " " + text
	}
}

// placeLines makes rows of lines that hold one cell each. Sections begin anew, so that a row never reaches over one.
func (rd *reader) placeLines() {
	rows, columns := rd.result.Rows, rd.result.Columns
	var open []int
	flush := func() {
		if len(open) == 0 {
			return
		}
		tokens := make([]string, len(open))
		for i, at := range open {
			tokens[i] = strings.TrimSpace(rd.records[at].cells[0])
		}
		in, column := align(tokens, nil, columns, true)
		first := -1
		for i, at := range open {
			if i == 0 || in[i] != in[i-1] {
				first = at
				rows[at].Is, rows[at].Cells = Good, make([]string, len(columns))
			} else {
				rows[at].Is, rows[at].Of = Part, first+1
			}
			rd.append(&rows[first], column[i], tokens[i])
		}
		open = open[:0]
	}
	for i := range rows {
		switch rows[i].Is {
		case "":
			open = append(open, i)
		case Section:
			flush()
		}
	}
	flush()
}
