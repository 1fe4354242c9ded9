package paper

import (
	"io"
	"slices"
	"strconv"
	"strings"

	"loomwright/app/sheet"
	"loomwright/calc/harness"
)

// recordKinds are what the record holds, in its order.
var recordKinds = []string{"route", "schematic", "pins", "circuits", "panel", "wires", "cut", "trim", "bundles", "layup", "benchlist", "sections", "places", "runs", "readings", "tagcodes",
	"settings", "tests", "findings"}

// recordWords stand on the first page: what the record is, and the cautions.
var recordWords = []string{
	"This is the harness as it was planned and built: where each wire goes, how long it is, what guards it, and what was measured of it.",
	"A tag on the harness has a code of eight signs. Look it up under Tag codes: it names the wire, this end and the far end.",
	"Before work on it: battery off. Leave airbag, fuel and high voltage wiring to trained people. A fuse is replaced by one of the same rating only.",
	"Local rules and licensed practice come first.",
}

// facts are the lines of the first page.
func facts(b *harness.Build, o sheet.Options) [][2]string {
	out := [][2]string{{"Car", b.Settings.Car}, {"State", stateOf(o)}, {"Wires", strconv.Itoa(b.Wires.Len())}, {"Places", strconv.Itoa(b.Places.Len())},
		{"Runs", strconv.Itoa(b.Runs.Len())}, {"Circuits", strconv.Itoa(b.Circuits.Len())}, {"Tags", strconv.Itoa(b.Tags.Len())}, {"Test results", strconv.Itoa(b.Results.Len())},
		{"Lengths", strings.TrimPrefix(lengthsIn(b), "lengths ")}, {"Note", b.Settings.Note}}
	filled := out[:0]
	for _, f := range out {
		if f[1] != "" {
			filled = append(filled, f)
		}
	}
	return filled
}

// recordTable is a table as the record has it: of the tests only those that were done.
func recordTable(kind string, b *harness.Build, o sheet.Options) (sheet.Table, error) {
	t, err := tableOf(kind, b, o)
	if err != nil || kind != "tests" {
		return t, err
	}
	column := slices.IndexFunc(t.Columns, func(c sheet.Column) bool { return c.Key == "outcome" })
	done, all := 0, 0
	var groups []sheet.Group
	for _, g := range t.Groups {
		all += len(g.Rows)
		g.Rows = slices.DeleteFunc(slices.Clone(g.Rows), func(row []sheet.Cell) bool { return row[column].Text == "" })
		if done += len(g.Rows); len(g.Rows) > 0 {
			groups = append(groups, g)
		}
	}
	t.Groups = groups
	t.Title = "Tests that were done"
	t.Notes = append(t.Notes, strconv.Itoa(done)+" of "+strconv.Itoa(all)+" tests were done")
	return t, nil
}

// drawn reports whether a kind is a drawing.
func drawn(kind string) bool { return kind == "route" || kind == "sections" || kind == "schematic" }

func recordPart(pdf *pen, kind string, b *harness.Build, o sheet.Options) (part, error) {
	if drawn(kind) {
		return partOf(pdf, kind, b, o)
	}
	t, err := recordTable(kind, b, o)
	if err != nil {
		return part{}, err
	}
	return tablePart(pdf, t, b, o), nil
}

// writeRecord writes the whole harness as one file: a first page, an index whose lines lead to their pages, then each list and
// drawing.
func writeRecord(w io.Writer, b *harness.Build, o sheet.Options, told Progress) error {
	wide, high := paperSize(o)
	pdf, err := newPages(wide, high, o)
	if err != nil {
		return err
	}
	var parts []part
	total := 2
	for _, kind := range recordKinds {
		x, err := recordPart(pdf, kind, b, o)
		if err != nil {
			return err
		}
		parts = append(parts, x)
		total += x.pages
	}
	title := "Harness record"
	pdf.SetTitle(sheet.Title(b)+", "+strings.ToLower(title), true)
	front := part{wide: wide, high: high, foot: "Loomwright"}
	told.page(1, total)
	pdf.page(front, 1, total)
	pdf.write(edge, edge+30, title, 12, false)
	y := edge + 42
	wrap := func(text string, points float64, bold bool) []string {
		lines, _ := sheet.Wrap(text, wide-2*edge, func(s string) float64 { return pdf.width(s, points, bold) })
		return lines
	}
	for _, line := range wrap(sheet.Title(b), 26, true) {
		pdf.write(edge, y, line, 26, true)
		y += 12
	}
	y += 4
	for _, f := range facts(b, o) {
		pdf.write(edge, y, f[0], 10, false)
		for _, line := range wrap(f[1], 10, true)[:1] {
			pdf.write(edge+40, y, clip(line, wide-2*edge-40, func(s string) float64 { return pdf.width(s, 10, true) }), 10, true)
		}
		y += 6
	}
	y += 8
	for _, text := range recordWords {
		for _, line := range wrap(text, 10, false) {
			pdf.write(edge, y, line, 10, false)
			y += 5
		}
		y += 2
	}
	told.page(2, total)
	pdf.page(front, 2, total)
	y = pdf.pageHead("What is where", b, o, wide) + 6
	at := 3
	links := make([]int, len(parts))
	for i, x := range parts {
		links[i] = pdf.AddLink()
		pdf.write(edge, y, x.title, 10, false)
		pdf.writeRight(wide-edge, y, strconv.Itoa(at), 10, false)
		pdf.Link(edge, y-4.5, wide-2*edge, 6, links[i])
		y += 7
		at += x.pages
	}
	at = 3
	for i, x := range parts {
		for n := range x.pages {
			told.page(at, total)
			pdf.page(x, at, total)
			if n == 0 {
				pdf.SetLink(links[i], 0, -1)
				pdf.Bookmark(sheet.Printable(x.title), 0, 0)
			}
			if err := x.draw(n); err != nil {
				return err
			}
			at++
		}
	}
	return pdf.flush(w)
}
