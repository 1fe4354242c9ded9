package table

import (
	"errors"
	"slices"
	"strings"
	"unicode/utf8"

	"loomwright/calc/unit"
)

// pins reads the cells of the rows that are pins.
func (rd *reader) pins() {
	short := rd.shortRows()
	var before *Row
	for i := range rd.result.Rows {
		row := &rd.result.Rows[i]
		switch row.Is {
		case Section:
			text, _ := single(record{cells: row.Cells}, Comma)
			if rd.result.Separator == Words {
				text = strings.Join(row.Cells, " ")
			}
			rd.section = section(text)
		case Good:
			if rd.options.Out[row.Number] {
				row.Is = LeftOut
				continue
			}
			row.Cells = rd.mended(row)
			rd.pin(row, before, short)
			before = row
		}
	}
}

// mended returns the cells of a row as the person wants them.
func (rd *reader) mended(row *Row) []string {
	cells := row.Cells
	for column := range rd.result.Columns {
		cell, ok := rd.options.Mended[row.Number][column]
		if !ok {
			continue
		}
		if len(cells) == len(row.Cells) {
			cells = slices.Clone(cells)
		}
		for len(cells) <= column {
			cells = append(cells, "")
		}
		cells[column] = cell
	}
	return cells
}

// shortRows is false where so many rows end before the last column that it is the list's manner.
func (rd *reader) shortRows() bool {
	short, all := 0, 0
	for _, row := range rd.result.Rows {
		if row.Is == Good {
			all++
			if len(row.Cells) < rd.width() {
				short++
			}
		}
	}
	return 2*short < all
}

// width is how many cells a whole row has: up to the last column that is used.
func (rd *reader) width() int {
	n := len(rd.result.Columns)
	for n > 1 && rd.result.Columns[n-1].Field == Unused {
		n--
	}
	return n
}

func (rd *reader) pin(row, before *Row, short bool) {
	p := &row.Pin
	columns := rd.result.Columns
	shifted := false // cells may stand in the wrong column
	if row.quoteOpen {
		row.fault(OpenQuote, Unused, "", "a quote is opened and not closed", "", "close the quote in this row, or take it out")
	}
	if len(row.Cells) > len(columns) {
		if rest := strings.TrimSpace(strings.Join(row.Cells[len(columns):], "")); rest != "" {
			shifted = true
			what := "it has more cells than there are columns"
			do := "put quotes around the cell with the separator in it, or take it out"
			if pair := partedDecimal(row.Cells); pair != "" {
				row.fault(TooManyCells, Unused, "", what, "", "the decimal comma of "+pair+" may have parted it; "+do)
			} else {
				row.fault(TooManyCells, Unused, "", what, "", do)
			}
		}
	}
	if short && len(row.Cells) < rd.width() {
		row.fault(TooFewCells, Unused, "", "it ends before the last column", "the cells that are missing are empty", "look whether the end of the row was lost")
	}
	var base, tracer string
	for i, c := range columns {
		if i >= len(row.Cells) || c.Field == Unused || shifted && c.Field != Connector && c.Field != Cavity && c.Field != ConnectorCavity {
			continue
		}
		raw := row.Cells[i]
		if strings.TrimSpace(clearSigns(raw)) == "" {
			continue
		}
		s := row.clean(c.Field, raw)
		switch c.Field {
		case Legend:
			p.Legend = s
		case Function:
			p.Function = s
		case Group:
			p.Group = notEmpty(s)
		case Insulation:
			p.Insulation = notEmpty(s)
		case Note:
			if p.Note != "" && s != "" {
				p.Note += "; "
			}
			p.Note += s
		case Connector:
			if !row.damaged(c.Field, raw, s) {
				p.Connector = rd.ditto(row, before, c.Field, s, func(b Pin) string { return b.Connector })
			}
		case Cavity, ConnectorCavity:
			if !row.damaged(c.Field, raw, s) {
				row.cavity(c, raw, s)
			}
		case SignalField, DirectionField:
			row.signal(c.Field, raw, rd.ditto(row, before, c.Field, s, func(b Pin) string { return string(b.Signal) }))
		case Size:
			if !row.damaged(c.Field, raw, s) {
				row.size(raw, rd.ditto(row, before, c.Field, s, func(b Pin) string { return b.Size.String() }), c.Unit)
			}
		case Colour:
			base = rd.ditto(row, before, c.Field, s, func(b Pin) string { return b.Colour.String() })
		case Base:
			base = rd.ditto(row, before, c.Field, s, func(b Pin) string { return b.Colour.Base })
		case Tracer:
			tracer = rd.ditto(row, before, c.Field, s, func(b Pin) string { return b.Colour.Tracer })
		case Length:
			if !row.damaged(c.Field, raw, s) {
				row.length(raw, rd.ditto(row, before, c.Field, s, func(b Pin) string {
					if b.Length == nil {
						return ""
					}
					return b.Length.String()
				}), c.Unit, rd.options.Unit)
			}
		}
	}
	row.colour(notEmpty(base), notEmpty(tracer))
	if p.Connector == "" {
		p.Connector = rd.section
	}
	if p.Cavity == "" && !row.has(NoCavity) && !row.has(Several) && !row.has(Damaged) {
		row.fault(NoCavity, Unused, "", "it names no cavity", "", "type the cavity, or leave the row out; if it goes on with the row above, join the two")
	}
}

func notEmpty(s string) string {
	if empty(s) {
		return ""
	}
	return s
}

func (r *Row) has(kind FaultKind) bool {
	for _, f := range r.Faults {
		if f.Kind == kind {
			return true
		}
	}
	return false
}

func (r *Row) damaged(field Field, raw, s string) bool {
	what := damage(s)
	if what == "" {
		return false
	}
	r.fault(Damaged, field, raw, what, "", "type what it was; in the spreadsheet, make the column text before it is filled")
	return true
}

// ditto returns a cell, or what the row above says where the cell is a mark for "as above".
func (rd *reader) ditto(row, before *Row, field Field, s string, above func(Pin) string) string {
	if !ditto(s) {
		return s
	}
	if before == nil || above(before.Pin) == "" {
		return ""
	}
	same := above(before.Pin)
	row.fault(Ditto, field, s, "a mark for the same as above", same, "nothing, if that is right")
	return same
}

// partedDecimal finds two neighbouring cells that a decimal comma may have parted.
func partedDecimal(cells []string) string {
	for i := range len(cells) - 1 {
		a, b := strings.TrimSpace(cells[i]), cells[i+1]
		if (a == "0" || i > 0 && isNumber(a) && len(a) <= 2) && isNumber(strings.TrimRight(b, " ")) && len(b) <= 3 {
			return a + "," + strings.TrimSpace(b)
		}
	}
	return ""
}

// cavity reads a cavity, with its connector where the column has both.
func (r *Row) cavity(c Column, raw, s string) {
	field := c.Field
	name := s
	for _, word := range []string{"pin ", "cavity ", "cav ", "no. ", "#"} {
		if len(name) > len(word) && strings.EqualFold(name[:len(word)], word) {
			name = strings.TrimSpace(name[len(word):])
		}
	}
	if whole, ok := strings.CutSuffix(name, ".0"); ok && isNumber(whole) {
		name = whole // a spreadsheet's number
	}
	if field == ConnectorCavity {
		if connector, cavity, ok := partCavity(name); ok {
			r.Pin.Connector, r.Pin.Cavity = connector, cavity
			return
		}
	}
	list := strings.FieldsFunc(name, func(c rune) bool { return strings.ContainsRune(",;&+/-–. ", c) })
	if len(list) == 3 && (list[1] == "to" || list[1] == "and") {
		list = []string{list[0], list[2]}
	}
	several := len(list) >= 2
	for _, part := range list {
		several = several && cavityLike(part) && (hasDigit(part) || len(part) == 1)
	}
	switch {
	case several:
		r.fault(Several, field, raw, "it names more than one cavity", strings.Join(list, " and "), "give each cavity a row of its own; if the first part is the connector, say that the column holds both")
	case empty(name):
	case utf8.RuneCountInString(name) > 12 || strings.ContainsRune(name, ' ') || c.Why != ByHeading && c.Why != ByPerson && !cavityLike(name):
		r.fault(NoCavity, field, raw, "it does not look like a cavity", "", "type the cavity, or choose another column for it")
	default:
		r.Pin.Cavity = name
	}
}

func (r *Row) signal(field Field, raw, s string) {
	if empty(s) {
		return
	}
	signal, way := parseSignal(s)
	if signal == "" && way == "" {
		r.fault(UnknownSignal, field, raw, "it is no kind of signal that is known here", "", "choose the kind; until then it is not said")
		return
	}
	if signal != "" {
		r.Pin.Signal = signal
	}
	if way != "" && (r.Pin.Direction == "" || field == DirectionField) {
		r.Pin.Direction = way
	}
}

func (r *Row) size(raw, s, headUnit string) {
	if empty(s) {
		return
	}
	size, err := parseSize(s, headUnit)
	var why *unit.ParseError
	switch {
	case err == nil:
		r.Pin.Size = size
	case errors.Is(err, unit.ErrAmbiguous) && errors.As(err, &why):
		r.fault(BadSize, Size, raw, "it may be either of two sizes", why.Reason, "type the unit with it")
	case errors.As(err, &why):
		r.fault(BadSize, Size, raw, why.Reason, "", "type the size as 0.75 mm2 or 18 AWG, or leave it empty if it is not known")
	}
}

func (r *Row) colour(base, tracer string) {
	c := unit.ParseColour(base)
	if tracer != "" {
		stripe := unit.ParseColour(tracer)
		if base != "" && c.Tracer == "" && stripe.Tracer == "" { // together: one may tell the language of the other
			both := unit.ParseColour(base + "/" + tracer)
			c, stripe = unit.Colour{Base: both.Base}, unit.Colour{Base: both.Tracer}
		}
		if c.Tracer != "" && c.Tracer != stripe.Base {
			r.fault(Doubled, Tracer, tracer, "the base colour has a tracer in it, and this is another", c.String(), "say which tracer is right")
		} else if c.Tracer = stripe.String(); c.Base == "" {
			c.Base, c.Tracer = "", stripe.String()
		}
	}
	r.Pin.Colour = c
	if c != (unit.Colour{}) && (c.Base == "" || !colourKnown(c)) {
		cell := base
		if tracer != "" {
			cell += "/" + tracer
		}
		what, do := "it is no colour that is known here", "choose the colour, or leave it as it is written"
		if c.Base == "" {
			what = "a tracer stands without a base colour"
		}
		r.fault(UnknownColour, Colour, cell, what, "kept as "+strings.Trim(c.String(), "/"), do)
	}
}

func (r *Row) length(raw, s, headUnit string, def unit.System) {
	if empty(s) {
		return
	}
	v, err := unit.ParseLength(withUnit(s, headUnit), def)
	var why *unit.ParseError
	switch {
	case err == nil:
		r.Pin.Length = &v
	case errors.Is(err, unit.ErrAmbiguous) && errors.As(err, &why):
		r.fault(BadLength, Length, raw, why.Reason, why.Readings[0].String()+" or "+why.Readings[1].String(), "type it without the comma, or with a point")
	case errors.As(err, &why):
		do := "type the length with its unit, or leave it empty if it is not known"
		if errors.Is(err, unit.ErrZero) {
			do = "leave it empty if it is not known"
		}
		r.fault(BadLength, Length, raw, why.Reason, why.Understood, do)
	}
}
