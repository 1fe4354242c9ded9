package table

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// sort makes the rows and sets aside those that are no pins.
func (rd *reader) sort() {
	r := rd.result
	r.Rows = make([]Row, len(rd.records))
	alone := map[string]int{} // how often a text stands alone in a row
	for i, rec := range rd.records {
		r.Rows[i] = Row{Number: i + 1, Line: rec.line, Cells: rec.cells, quoteOpen: rec.open}
		if text, ok := single(rec, r.Separator); ok {
			alone[text]++
		}
	}
	firstPin := false
	for i, rec := range rd.records {
		row := &r.Rows[i]
		text, one := single(rec, r.Separator)
		switch {
		case rec.blank(), rule(rec):
			row.Is = Blank
		case rd.heading >= 0 && i >= rd.heading && i < rd.heading+rd.span:
			row.Is = Heading
		case rd.heading >= 0 && i < rd.heading && section(text) != "":
			row.Is = Section
		case rd.heading >= 0 && i < rd.heading, strings.HasPrefix(strings.ToLower(text), "sep="):
			row.Is = Title
		case one && pageMark(text):
			row.Is = Page
		case rd.headingAgain(i):
			row.Is = Heading
		case one && section(text) != "" && (r.Separator != Lines || strings.Contains(text, " ")):
			row.Is = Section
		case total(rec):
			row.Is = Total
		case one && r.Separator != Lines && !firstPin && !cavityLike(firstWord(text)):
			row.Is = Title
		case one && !r.Separator.loose() && !hasDigit(firstWord(text)) && strings.TrimSpace(rec.cells[0]) != "" && len(r.Columns) > 2 && !cavityLike(text):
			row.Is = Title
		case one && (r.Separator == Spaces || r.Separator == Words) && isNumber(text) && len(r.Columns) > 2 && !rd.follows(i, text):
			row.Is = Page
		default:
			firstPin = true
		}
	}
	rd.furniture(alone)
}

// single returns the text of a row that holds one cell.
func single(r record, sep Separator) (text string, ok bool) {
	if sep == Words {
		return strings.Join(r.cells, " "), len(r.cells) > 0
	}
	if r.filled() != 1 {
		return "", false
	}
	return strings.TrimSpace(strings.Join(r.cells, "")), true
}

func firstWord(text string) string {
	word, _, _ := strings.Cut(text, " ")
	return word
}

// rule reports whether a row is a line drawn with signs.
func rule(r record) bool {
	text := strings.Join(r.cells, "")
	return len(text) >= 3 && strings.Trim(text, "-=_+:|*–— \t") == "" && strings.ContainsAny(text, "-=_–—*")
}

// pageMark reads "Page 3 of 7", "- 3 -", "Seite 3", "3/7".
func pageMark(text string) bool {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("-–—|/.:,", r) })
	page, numbers := false, 0
	for _, w := range words {
		switch {
		case w == "page" || w == "seite" || w == "p" || w == "pg" || w == "blatt" || w == "sheet":
			page = true
		case w == "of" || w == "von":
		case isNumber(w) && len(w) <= 4:
			numbers++
		default:
			return false
		}
	}
	dashed := strings.HasPrefix(text, "-") && strings.HasSuffix(text, "-") && len(text) > 2
	slashed := strings.Count(text, "/") == 1 && numbers == 2 && len(words) == 2
	return numbers >= 1 && numbers <= 2 && (page || dashed && numbers == 1 || slashed)
}

// section returns the connector that a row names for the rows below: "Connector B (34 way)".
func section(text string) string {
	words := strings.FieldsFunc(text, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune(":()[],;", r) })
	if len(words) < 2 || len(words) > 7 {
		return ""
	}
	switch strings.ToLower(words[0]) {
	case "connector", "plug", "header", "stecker", "socket", "conn", "housing":
		if name := words[1]; len(name) <= 6 && (hasDigit(name) || len([]rune(name)) <= 2) {
			return name
		}
	}
	return ""
}

func total(r record) bool {
	for _, c := range r.cells {
		if fold := foldHeading(c); fold != "" {
			switch firstWord(fold) {
			case "total", "totals", "sum", "subtotal", "summe", "gesamt":
				return len(fold) <= 20
			}
			return false
		}
	}
	return false
}

// headingAgain reports whether a row repeats the headings.
func (rd *reader) headingAgain(i int) bool {
	sep := rd.result.Separator
	if rd.heading < 0 || i <= rd.heading {
		return false
	}
	if sep == Lines {
		// A line of the headings, beside another in the same order.
		for k := range rd.span {
			if !strings.EqualFold(rd.records[i].cells[0], rd.records[rd.heading+k].cells[0]) {
				continue
			}
			next := k+1 < rd.span && i+1 < len(rd.records) && strings.EqualFold(rd.records[i+1].cells[0], rd.records[rd.heading+k+1].cells[0])
			before := k > 0 && strings.EqualFold(rd.records[i-1].cells[0], rd.records[rd.heading+k-1].cells[0])
			if next || before {
				return true
			}
		}
		return false
	}
	_, first := headingCells(rd.records[rd.heading], sep)
	_, again := headingCells(rd.records[i], sep)
	return again >= 2 && 2*again >= first
}

// follows reports whether a number is one more than the cavity of the row before: a cavity with nothing in it.
func (rd *reader) follows(i int, text string) bool {
	for i--; i >= 0; i-- {
		if rd.result.Rows[i].Is != "" || rd.records[i].blank() {
			continue
		}
		before, err := strconv.Atoi(firstWord(strings.Join(rd.records[i].cells, " ")))
		if err != nil {
			continue // a wrapped line
		}
		now, err := strconv.Atoi(text)
		return err == nil && now == before+1
	}
	return false
}

// furniture sets aside texts that stand alone at the head or foot of each page: those that come again, always beside a
// page number, a heading, or the start or end.
func (rd *reader) furniture(alone map[string]int) {
	if !rd.loose() {
		return
	}
	rows := rd.result.Rows
	edge := func(i, step int) bool {
		for i += step; i >= 0 && i < len(rows); i += step {
			if rows[i].Is != Blank {
				return rows[i].Is == Page || rows[i].Is == Heading || rows[i].Is == Title || rows[i].Is == Section
			}
		}
		return true
	}
	at := map[string][]int{}
	var texts []string // in the order in which they come
	titles := map[string]bool{}
	for _, title := range rd.records[:max(rd.heading, 0)] {
		titles[strings.Join(title.cells, " ")] = true
	}
	for i, rec := range rd.records {
		if i > rd.heading && rows[i].Is == "" && titles[strings.Join(rec.cells, " ")] {
			rows[i].Is = Page // the title of the list, on another page
			continue
		}
		text, one := single(rec, rd.result.Separator)
		if !one || rows[i].Is != "" || alone[text] < 2 {
			continue
		}
		if !cavityLike(firstWord(text)) {
			if at[text] == nil {
				texts = append(texts, text)
			}
			at[text] = append(at[text], i)
		}
	}
	for again := true; again; {
		again = false
		for _, text := range texts {
			places := at[text]
			stray := slices.ContainsFunc(places, func(p int) bool { return rows[p].Is == "" && !edge(p, -1) && !edge(p, 1) })
			open := slices.ContainsFunc(places, func(p int) bool { return rows[p].Is == "" })
			if len(places) < 2 || stray || !open {
				continue
			}
			again = true
			for _, p := range places {
				rows[p].Is = Page
			}
		}
	}
}
