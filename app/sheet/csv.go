package sheet

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"loomwright/calc/table"
)

const byteOrderMark = "\ufeff"

// WriteCSV writes rows with every cell guarded. A single empty cell in a row is quoted, so that the row is not taken
// for a blank line. Line ends are CR LF.
//
// Source: RFC 4180.
func WriteCSV(w io.Writer, rows [][]string, semicolon, bom bool) error {
	comma := byte(',')
	if semicolon {
		comma = ';'
	}
	var out bytes.Buffer
	if bom {
		out.WriteString(byteOrderMark)
	}
	for _, row := range rows {
		for i, cell := range row {
			if i > 0 {
				out.WriteByte(comma)
			}
			cell = table.Guard(cell)
			if strings.ContainsAny(cell, "\",;\r\n\t") || strings.TrimSpace(cell) != cell || cell == "" && len(row) == 1 {
				cell = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
			}
			out.WriteString(cell)
		}
		out.WriteString("\r\n")
	}
	_, err := w.Write(out.Bytes())
	return err
}

// ReadCSV reads what WriteCSV wrote, or a list from elsewhere: a byte order mark is dropped, the sign between cells
// is found from the first line, and each cell loses the one ' that guards it. Rows keep their own length.
func ReadCSV(text []byte) ([][]string, error) {
	text = bytes.TrimPrefix(text, []byte(byteOrderMark))
	rows, err := parseCSV(text, separator(text))
	if err != nil {
		return nil, err
	}
	for _, row := range rows {
		for i := range row {
			row[i] = table.Unguard(row[i])
		}
	}
	return rows, nil
}

// separator returns the sign between cells: the commonest of ; tab and comma, outside of quotes, in the first line
// that has one of them.
func separator(text []byte) byte {
	const signs = ";\t,"
	var seen [len(signs)]int
	quoted := false
	for _, c := range text {
		if c == '"' {
			quoted = !quoted
		}
		if quoted {
			continue
		}
		if i := strings.IndexByte(signs, c); i >= 0 {
			seen[i]++
		}
		if (c == '\n' || c == '\r') && seen != [len(signs)]int{} {
			break
		}
	}
	best := len(signs) - 1
	for i, n := range seen {
		if n > seen[best] || n == seen[best] && n > 0 && i < best {
			best = i
		}
	}
	return signs[best]
}

// parseCSV splits a text into rows and cells; blank lines are left out. Line ends are CR LF, LF or CR.
func parseCSV(text []byte, comma byte) (rows [][]string, err error) {
	line := 1
	for i := 0; i < len(text); {
		var row []string
		blank := true
		for {
			var cell []byte
			if i < len(text) && text[i] == '"' {
				blank = false
				opened := line
				for i++; ; i++ {
					if i >= len(text) {
						return nil, fmt.Errorf("sheet: list, line %d: a quote is not closed", opened)
					}
					if text[i] == '"' {
						if i+1 >= len(text) || text[i+1] != '"' {
							break
						}
						i++
					}
					if text[i] == '\n' {
						line++
					}
					cell = append(cell, text[i])
				}
				i++
			}
			for ; i < len(text) && text[i] != comma && text[i] != '\n' && text[i] != '\r'; i++ {
				cell = append(cell, text[i])
			}
			row = append(row, string(cell))
			if i >= len(text) || text[i] != comma {
				break
			}
			i++
		}
		if !blank || len(row) > 1 || row[0] != "" {
			rows = append(rows, row)
		}
		if i < len(text) && text[i] == '\r' {
			i++
			if i < len(text) && text[i] == '\n' {
				i++
			}
			line++
		} else if i < len(text) {
			i++
			line++
		}
	}
	return rows, nil
}

// writeCSV writes the headings and the rows; a table with groups has the group in its first column. Totals and
// notes are left out: they are for people, and a program would take them for rows.
func (t Table) writeCSV(w io.Writer, o Options) error {
	grouped := len(t.Groups) > 1
	var head []string
	if grouped {
		head = append(head, "group")
	}
	for _, c := range t.Columns {
		head = append(head, c.Heading())
	}
	rows := [][]string{head}
	for _, g := range t.Groups {
		for _, cells := range g.Rows {
			var row []string
			if grouped {
				row = append(row, g.Title)
			}
			for _, c := range cells {
				row = append(row, c.Text)
			}
			rows = append(rows, row)
		}
	}
	return WriteCSV(w, rows, o.Semicolon, o.BOM)
}

// Heading returns the title of a column with its unit.
func (c Column) Heading() string {
	if c.Unit == "" {
		return c.Title
	}
	return c.Title + " (" + c.Unit + ")"
}
