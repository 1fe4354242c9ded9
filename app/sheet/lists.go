package sheet

import (
	"cmp"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
	"loomwright/calc/tag"
)

// makers lists every kind.
func makers() []maker {
	return []maker{
		list("wires", "Wire list", Wires),
		list("cut", "Cut list", Cut),
		list("trim", "Trim list", Trim),
		list("stock", "Cutting plan", StockPlan),
		list("shopping", "Shopping list", Shopping),
		list("pins", "Pin list", Pins),
		list("removal", "Pins to pull, seating check", Removal),
		list("circuits", "Circuits", Circuits),
		list("panel", "Panels", PanelParts),
		list("findings", "Findings", Findings),
		list("tests", "Test sheet", Tests),
		list("settings", "Settings sheet", SettingsSheet),
		list("places", "Places", Places),
		list("runs", "Runs", Runs),
		list("readings", "Readings", Readings),
		list("bundles", "Bundles", Bundles),
		list("layup", "Lay order", LayUp),
		{Kind: Kind{"sections", "Cross-sections", drawingFormats, false}, draw: drawSections},
		{Kind: Kind{"route", "Route", drawingFormats, false}, draw: drawRoute},
		{Kind: Kind{"tags", "Tags", []Format{PDF, SVG, ZIP}, false}, draw: drawTags},
		list("tagcodes", "Tag codes", TagCodes),
		{Kind: Kind{"benchlist", "Bench list", tableFormats, true}},
		{Kind: Kind{"board", "Board", []Format{PDF, SVG, JSON}, true}},
		{Kind: Kind{"schematic", "Schematic", drawingFormats, true}},
		{Kind: Kind{"strips", "Panel strips", []Format{PDF}, true}},
		{Kind: Kind{"record", "The whole record", []Format{PDF, HTML}, true}},
	}
}

func list(name, title string, table func(*harness.Build, Options) (Table, error)) maker {
	return maker{Kind: Kind{name, title, tableFormats, false}, table: table}
}

// Title is what a build is called on paper.
func Title(b *harness.Build) string {
	if b.Settings.Title == "" {
		return "Build without a name"
	}
	return b.Settings.Title
}

// TagCodes is every tag with what it sits on, retired ones too, by code.
func TagCodes(b *harness.Build, o Options) (Table, error) {
	t := Table{Name: "tagcodes", Title: "Tag codes", Columns: []Column{
		{Key: "code", Title: "Code"}, {Key: "on", Title: "On"}, {Key: "name", Title: "Name"},
		{Key: "this_end", Title: "This end", Wide: 2}, {Key: "far_end", Title: "Far end", Wide: 2},
		{Key: "function", Title: "Function", Wide: 2}, {Key: "state", Title: "State"}, {Key: "copy_of", Title: "Copy of"},
	}}
	var rows [][]Cell
	for _, rec := range b.Tags.All() {
		l, ok := tag.Describe(b, rec)
		state := "in use"
		switch {
		case !ok:
			state = "subject unknown"
		case l.Deleted:
			state = "subject deleted"
		case rec.Retired:
			state = "retired"
		}
		rows = append(rows, []Cell{text(rec.Code), text(string(rec.On)), text(l.Name), text(l.This), text(l.Far), text(l.Function), text(state), text(rec.Of)})
	}
	byText(rows, 0)
	t.Groups = []Group{{Rows: rows}}
	return t, nil
}

// byText sorts rows by the text of a column.
func byText(rows [][]Cell, column int) {
	sorting.By(rows, func(x, y []Cell) int { return cmp.Compare(x[column].Text, y[column].Text) })
}
