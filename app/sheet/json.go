package sheet

import (
	"io"

	"github.com/go-json-experiment/json/jsontext"

	"loomwright/calc/harness"
)

// writeJSON writes the table for programs: each row an object with the keys of the columns, a number where the cell
// is one (lengths in millimetres), else its text, null where it is empty or not known.
func (t Table) writeJSON(w io.Writer, b *harness.Build, o Options) error {
	e := jsontext.NewEncoder(w, jsontext.WithIndent("  "))
	j := writer{e: e}
	j.open('{')
	j.field("list", t.Name)
	j.field("title", t.Title)
	j.field("build", b.Settings.ID)
	j.field("name", b.Settings.Title)
	if o.Revision != "" {
		j.field("revision", o.Revision)
	}
	if o.Date != "" {
		j.field("date", o.Date)
	}
	j.name("columns")
	j.open('[')
	for _, c := range t.Columns {
		j.open('{')
		j.field("key", c.Key)
		j.field("title", c.Title)
		j.close('}')
	}
	j.close(']')
	j.name("groups")
	j.open('[')
	for _, g := range t.Groups {
		j.open('{')
		j.field("title", g.Title)
		j.name("rows")
		j.open('[')
		for _, row := range g.Rows {
			t.writeRow(&j, row)
		}
		j.close(']')
		if g.Total != nil {
			j.name("total")
			t.writeRow(&j, g.Total)
		}
		j.close('}')
	}
	j.close(']')
	j.name("notes")
	j.open('[')
	for _, n := range t.Notes {
		j.token(jsontext.String(n))
	}
	j.close(']')
	j.close('}')
	return j.err
}

func (t Table) writeRow(j *writer, row []Cell) {
	j.open('{')
	for i, c := range row {
		j.name(t.Columns[i].Key)
		switch {
		case c.Number != nil:
			j.token(jsontext.Float(*c.Number))
		case c.Text == "" || c.Text == unknown:
			j.token(jsontext.Null)
		default:
			j.token(jsontext.String(c.Text))
		}
	}
	j.close('}')
}

// writer keeps the first error, so that what is written reads in one piece.
type writer struct {
	e   *jsontext.Encoder
	err error
}

func (j *writer) token(t jsontext.Token) {
	if j.err == nil {
		j.err = j.e.WriteToken(t)
	}
}

func (j *writer) name(s string) { j.token(jsontext.String(s)) }

func (j *writer) field(name, value string) {
	j.name(name)
	j.token(jsontext.String(value))
}

func (j *writer) open(c byte) {
	if c == '{' {
		j.token(jsontext.BeginObject)
	} else {
		j.token(jsontext.BeginArray)
	}
}

func (j *writer) close(c byte) {
	if c == '}' {
		j.token(jsontext.EndObject)
	} else {
		j.token(jsontext.EndArray)
	}
}
