package sheet

import (
	"loomwright/calc/harness"
	"loomwright/calc/rules"
)

// Findings is what is to be mended or known, grouped by how much it matters; what a person dismissed comes last.
func Findings(b *harness.Build, o Options) (Table, error) {
	f := factsOf(b, o)
	t := Table{Name: "findings", Title: "Findings", Columns: []Column{
		{Key: "severity", Title: "Matters", Wide: 0.9}, {Key: "rule", Title: "Rule", Wide: 1.1}, {Key: "what", Title: "What", Wide: 3.4}, {Key: "got", Title: "Is"},
		{Key: "limit", Title: "Should be"}, {Key: "fix", Title: "What to do", Wide: 2}, {Key: "source", Title: "By", Wide: 1.8}, {Key: "dismissed", Title: "Let be, because", Wide: 1.2},
	}}
	for _, x := range rules.Check(b, f.graph, rules.Options{}) {
		group := heading(x.Severity.String())
		if x.Dismissed != "" {
			group = "Let be"
		}
		if n := len(t.Groups); n == 0 || t.Groups[n-1].Title != group {
			t.Groups = append(t.Groups, Group{Title: group})
		}
		last := &t.Groups[len(t.Groups)-1]
		last.Rows = append(last.Rows, []Cell{text(x.Severity.String()), text(x.Rule), text(x.What), text(x.Got), text(x.Limit), text(x.Fix.Do), text(x.Source), text(x.Dismissed)})
	}
	for _, g := range t.Groups {
		t.Notes = append(t.Notes, g.Title+": "+counted(len(g.Rows), "finding", "findings"))
	}
	if len(t.Groups) == 0 {
		t.Notes = append(t.Notes, "nothing was found")
	}
	t.Notes = append(t.Notes, "numbers are rules of thumb and published tables: none is a legal or safety limit")
	return t, nil
}

// heading begins a group with a large letter.
func heading(text string) string {
	if text == "" {
		return ""
	}
	return string(text[0]-'a'+'A') + text[1:]
}
