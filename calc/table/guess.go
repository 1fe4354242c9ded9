package table

import (
	"strings"
)

// sniffSeparator returns the way of parting cells by which most rows have equally many, and by which there are headings.
// The weights are our choice. A first line "sep=;" is taken at its word, as spreadsheets do.
func (rd *reader) sniffSeparator(text string) Separator {
	const head = 200 // lines looked at
	all := lines(text)
	if len(all) > head {
		all = all[:head]
	}
	if rest, ok := strings.CutPrefix(strings.ToLower(strings.Trim(all[0], "\" ")), "sep="); ok && len(rest) == 1 {
		for _, sep := range Separators {
			if rest[0] == sep.sign() {
				return sep
			}
		}
	}
	text = strings.Join(all, "\n")
	best, most := Lines, 0.0
	for _, sep := range Separators {
		if score := separatorScore(text, sep); score > most+1e-9 {
			best, most = sep, score
		}
	}
	return best
}

func separatorScore(text string, sep Separator) float64 {
	records := split(text, sep)
	counts, rows, cavities, single := map[int]int{}, 0, 0, 0
	for _, r := range records {
		if r.blank() {
			continue
		}
		rows++
		n := len(r.cells)
		for n > 0 && strings.TrimSpace(r.cells[n-1]) == "" && !r.quoted {
			n--
		}
		counts[n]++
		if len(r.cells) > 2 && cavityLike(r.cells[0]) {
			cavities++
		}
		if len(strings.Fields(r.cells[0])) <= 2 {
			single++
		}
	}
	modal := 0
	for n, c := range counts {
		if n >= 2 && (c > counts[modal] || c == counts[modal] && n > modal) {
			modal = n
		}
	}
	share := float64(counts[modal]) / float64(max(rows, 1))
	_, fields := firstHeading(records, sep)
	score := share + 0.05*float64(min(modal, 8)) + 0.2*float64(fields)
	switch sep {
	case Words:
		if fields < 2 && float64(cavities) < 0.6*float64(rows) {
			return 0
		}
		return 0.4 + 0.2*float64(fields) // any other way is better if it is as good
	case Lines:
		if fields < 2 && 2*single < rows {
			return 0.01
		}
		return 0.3 + 0.2*float64(fields)
	case Spaces:
		score -= 0.1
	}
	if modal == 0 || fields < 2 && share < 0.4 {
		return 0
	}
	return score
}

// headingCells returns the headings in a row and how many different fields they name. Headings that stand one space apart
// are told apart by their words.
func headingCells(r record, sep Separator) (cells []string, fields int) {
	if sep != Words {
		cells = r.cells
		fields = distinctFields(cells)
	}
	if sep == Words || sep == Spaces {
		tokens := strings.Fields(strings.Join(r.cells, " "))
		var greedy []string
		for len(tokens) > 0 && len(tokens) <= 40 {
			n := 1
			for m := min(3, len(tokens)); m > 1; m-- {
				f, _ := heading(strings.Join(tokens[:m], " "))
				first, _ := heading(tokens[0])
				if f != Unused && !(first == Connector || first == Cavity && f != Cavity) { // "Pin Function" is two
					n = m
					break
				}
			}
			greedy, tokens = append(greedy, strings.Join(tokens[:n], " ")), tokens[n:]
		}
		if n := distinctFields(greedy); n > fields && 2*n > len(greedy) {
			cells, fields = greedy, n
		}
	}
	for _, c := range cells {
		if isNumber(strings.TrimSpace(c)) {
			return cells, 0
		}
	}
	return cells, fields
}

func distinctFields(cells []string) int {
	seen := map[Field]bool{}
	for _, c := range cells {
		if f, _ := heading(c); f != Unused {
			seen[f] = true
		}
	}
	return len(seen)
}

// firstHeading returns the index of the first row of headings and how many fields it names; 0 fields if there is none.
// With Lines the headings are the lines from there on.
func firstHeading(records []record, sep Separator) (at, fields int) {
	const head = 40
	for i, r := range records[:min(len(records), head)] {
		if sep == Lines {
			n := 0
			for n < len(records)-i && n < MaxColumns {
				if f, _ := heading(records[i+n].cells[0]); f == Unused {
					break
				}
				n++
			}
			if n >= 2 {
				return i, n
			}
			continue
		}
		if _, n := headingCells(r, sep); n >= 2 {
			return i, n
		}
	}
	return -1, 0
}

// findHeading sets the row of headings.
func (rd *reader) findHeading() {
	rd.heading, rd.span = -1, 1
	switch h := rd.options.Heading; {
	case h > 0 && h <= len(rd.records):
		rd.heading = h - 1
	case h == 0:
		rd.heading, rd.span = firstHeading(rd.records, rd.result.Separator)
		if rd.result.Separator != Lines || rd.heading < 0 {
			rd.span = 1
		}
	}
	rd.result.Heading = rd.heading + 1
}

// findColumns sets the columns by the headings, else by content, else as the person chose.
func (rd *reader) findColumns() {
	r := rd.result
	if rd.heading >= 0 {
		cells, _ := headingCells(rd.records[rd.heading], r.Separator)
		if r.Separator == Lines {
			cells = nil
			for _, rec := range rd.records[rd.heading : rd.heading+rd.span] {
				cells = append(cells, rec.cells[0])
			}
		}
		taken, function := map[Field]bool{}, -1
		for i, cell := range cells {
			c := Column{Heading: strings.Join(strings.Fields(clearSigns(cell)), " ")}
			f, u := heading(clearSigns(cell))
			if foldHeading(cell) == "signal" && (taken[Function] || r.Separator != Words && r.Separator != Lines && rd.look(i).signal >= 0.6) {
				f = SignalField // the kind, where another column has the name or the cells say so
			}
			switch {
			case f == Unused:
			case taken[f] && f == Colour && !taken[Tracer]:
				c.Field, c.Why = Tracer, ByHeading
			case !taken[f] || f == Note:
				c.Field, c.Unit, c.Why = f, u, ByHeading
			case f == Function && !taken[Legend]: // a name and a function: what is printed, and what it does
				c.Field, c.Why = Legend, ByContent
				if strings.Contains(strings.ToLower(cell), "fun") {
					r.Columns[function].Field, r.Columns[function].Why = Legend, ByContent
					c.Field, c.Why = Function, ByHeading
				}
				taken[Legend] = true
			}
			if c.Field == Function {
				function = i
			}
			taken[c.Field] = true
			r.Columns = append(r.Columns, c)
		}
		for len(r.Columns) > 1 && r.Columns[len(r.Columns)-1] == (Column{}) && !rd.beyond(len(r.Columns)-1) {
			r.Columns = r.Columns[:len(r.Columns)-1]
		}
	}
	switch chosen := rd.options.Columns; {
	case len(chosen) > 0:
		for i, f := range chosen[:min(len(chosen), MaxColumns)] {
			if i == len(r.Columns) {
				r.Columns = append(r.Columns, Column{})
			}
			if r.Columns[i].Field != f {
				r.Columns[i].Unit = ""
			}
			r.Columns[i].Field, r.Columns[i].Why = f, ByPerson
		}
	case r.Separator == Words || r.Separator == Lines:
		if rd.heading < 0 {
			rd.layout()
		}
	default:
		rd.byContent()
	}
	if len(r.Columns) == 0 {
		r.Columns = []Column{{}}
	}
}

// beyond reports whether a row has something in a column.
func (rd *reader) beyond(column int) bool {
	for _, r := range rd.records {
		if len(r.cells) > column && strings.TrimSpace(r.cells[column]) != "" {
			return true
		}
	}
	return false
}

// layouts are the orders of columns that are tried where nothing parts them. Source: common practice.
var layouts = [][]Field{
	{Cavity, Function}, {Cavity, Function, Colour}, {Cavity, Function, Size}, {Cavity, Function, Length},
	{Cavity, Function, Size, Colour}, {Cavity, Function, Colour, Size}, {Cavity, Colour, Function}, {Cavity, Colour, Size, Function},
	{Cavity, Size, Colour, Function}, {Cavity, Function, Colour, Length}, {Cavity, Function, Size, Length}, {Cavity, Function, Size, Colour, Length},
	{Cavity, Function, Colour, Size, Length}, {Cavity, Colour, Size, Length, Function}, {Cavity, Size, Colour, Length, Function},
	{ConnectorCavity, Function, Size, Colour, Length}, {ConnectorCavity, Function, Colour, Size},
}

// layout takes the order of columns in which the words of the first rows make most sense.
func (rd *reader) layout() {
	var best []Column
	most := 0.0
	for _, fields := range layouts {
		columns := make([]Column, len(fields))
		for i, f := range fields {
			columns[i] = Column{Field: f, Why: ByContent}
		}
		score, seen := 0.0, 0
		if rd.result.Separator == Lines {
			var tokens []string
			for _, r := range rd.records {
				if !r.blank() && len(tokens) < 120 && !pageMark(r.cells[0]) {
					tokens = append(tokens, strings.TrimSpace(r.cells[0]))
				}
			}
			score = fitAll(tokens, nil, columns, true)
		} else {
			for _, r := range rd.records {
				if len(r.cells) >= 2 && len(r.cells) <= MaxColumns && hasDigit(r.cells[0]) && seen < 40 {
					seen++
					score += fitAll(r.cells, r.gaps, columns, false)
				}
			}
		}
		if best == nil || score > most {
			best, most = columns, score
		}
	}
	rd.result.Columns = best
}

// fitAll is the fit of tokens that align has placed.
func fitAll(tokens []string, gaps []int, columns []Column, cyclic bool) (score float64) {
	row, column := align(tokens, gaps, columns, cyclic)
	for r, i := 0, 0; i < len(tokens); r++ {
		for c := range columns {
			j := i
			for j < len(tokens) && row[j] == r && column[j] == c {
				j++
			}
			var g []int
			if gaps != nil {
				g = gaps[i:j]
			}
			score += fit(columns[c], tokens[i:j], g, cyclic)
			i = j
		}
	}
	return score
}

// byContent gives fields to columns without one by what most of their cells look like.
func (rd *reader) byContent() {
	r := rd.result
	taken := map[Field]bool{}
	for _, c := range r.Columns {
		taken[c.Field] = true
	}
	if rd.heading >= 0 && (taken[Cavity] || taken[ConnectorCavity]) {
		return // headings that are not known are left to the person
	}
	width := len(r.Columns)
	if rd.heading < 0 {
		width = rd.usualWidth()
	}
	looks := make([]look, width)
	for i := range looks {
		if i == len(r.Columns) {
			r.Columns = append(r.Columns, Column{})
		}
		looks[i] = rd.look(i)
	}
	give := func(f Field, good func(look) bool) {
		if taken[f] {
			return
		}
		for i := range looks {
			if c := &r.Columns[i]; c.Field == Unused && good(looks[i]) {
				c.Field, c.Why, taken[f] = f, ByContent, true
				return
			}
		}
	}
	most := 0.0
	for i, l := range looks {
		if r.Columns[i].Field == Unused && l.cavity >= 0.7 {
			most = max(most, l.distinct)
		}
	}
	give(Cavity, func(l look) bool { return l.cavity >= 0.7 && l.distinct >= 0.6 && l.distinct == most })
	if !taken[Cavity] {
		give(ConnectorCavity, func(l look) bool { return l.both >= 0.7 && l.distinct >= 0.6 })
	}
	if !taken[Cavity] && !taken[ConnectorCavity] {
		give(Cavity, func(l look) bool { return l.cavity >= 0.7 })
	}
	give(Colour, func(l look) bool { return l.colour >= 0.5 && l.size < 0.5 })
	give(Tracer, func(l look) bool { return l.colour >= 0.5 && l.size < 0.5 })
	give(Length, func(l look) bool { return l.length >= 0.6 })
	give(Size, func(l look) bool { return l.size >= 0.6 })
	give(SignalField, func(l look) bool { return l.signal >= 0.8 && l.distinct < 0.5 })
	if taken[Cavity] {
		give(Connector, func(l look) bool { return l.filled > 0 && l.text < 7 && l.distinct < 0.5 && l.cavity >= 0.7 })
	}
	longest := -1
	for i := range looks {
		if r.Columns[i].Field == Unused && looks[i].filled > 0 && (longest < 0 || looks[i].text > looks[longest].text) {
			longest = i
		}
	}
	if longest >= 0 && !taken[Function] {
		r.Columns[longest].Field, r.Columns[longest].Why = Function, ByContent
		give(Legend, func(l look) bool { return l.filled > 0.5 && l.distinct > 0.5 })
	}
	give(Note, func(l look) bool { return l.filled > 0 })
}

// look is what the cells of a column are like, as shares of those that hold something.
type look struct {
	cavity, both, size, colour, length, signal, distinct float64
	filled                                               float64 // of all rows
	text                                                 float64 // signs on average
}

func (rd *reader) look(column int) (l look) {
	n, rows, seen := 0.0, 0.0, map[string]bool{}
	for i, r := range rd.records {
		if i == rd.heading || r.blank() || r.filled() < 2 {
			continue
		}
		rows++
		if column >= len(r.cells) {
			continue
		}
		cell := strings.TrimSpace(clearSigns(r.cells[column]))
		if empty(cell) {
			continue
		}
		n++
		seen[strings.ToUpper(cell)] = true
		add := func(share *float64, is bool) {
			if is {
				*share++
			}
		}
		_, _, both := partCavity(cell)
		signal, way := parseSignal(cell)
		add(&l.cavity, cavityLike(cell))
		add(&l.both, both)
		add(&l.size, sizeScore(cell, "") > 0)
		add(&l.colour, colourScore(cell) > 0)
		add(&l.length, lengthScore(cell, "") > 0)
		add(&l.signal, signal != "" || way != "")
		l.text += float64(len([]rune(cell)))
	}
	if n == 0 {
		return look{}
	}
	for _, share := range []*float64{&l.cavity, &l.both, &l.size, &l.colour, &l.length, &l.signal, &l.text} {
		*share /= n
	}
	l.distinct, l.filled = float64(len(seen))/n, n/rows
	return l
}

// usualWidth is the number of cells that most rows have.
func (rd *reader) usualWidth() int {
	counts, best := map[int]int{}, 1
	for _, r := range rd.records {
		if !r.blank() {
			counts[len(r.cells)]++
		}
	}
	for n, c := range counts {
		if c > counts[best] || c == counts[best] && n > best {
			best = n
		}
	}
	return best
}
