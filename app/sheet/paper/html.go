package paper

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"html"
	"io"
	"strconv"

	"loomwright/app/sheet"
	"loomwright/calc/harness"
)

// recordStyle is the style of the record on a screen, which its policy names by its hash.
const recordStyle = `body{font:16px/1.4 sans-serif;margin:0 auto;max-width:1100px;padding:16px;color:#14181d;background:#fff}
h1{font-size:32px;margin:0}h2{border-bottom:2px solid;margin-top:40px}
nav a{display:inline-block;padding:8px 12px 8px 0}dt{float:left;width:9em;color:#555}dd{margin-left:10em;font-weight:700}
.wide{overflow-x:auto}table{border-collapse:collapse;font-size:14px}th,td{border:1px solid #bbb;padding:4px 6px;text-align:left;vertical-align:top}
td.n{text-align:right;white-space:nowrap}tr.g th{background:#eee}tr.s td{font-weight:700}svg{max-width:100%;height:auto}
@media print{h2{page-break-before:always}nav{display:none}}`

// writeHTML writes the record as one page that needs nothing else: no script, no file from anywhere, and a policy that allows none.
// Every text of a person is escaped.
func writeHTML(w io.Writer, b *harness.Build, o sheet.Options, told Progress) error {
	hash := sha256.Sum256([]byte(recordStyle))
	var out bytes.Buffer
	text := func(s string) string { return html.EscapeString(sheet.Printable(s)) }
	title := text(sheet.Title(b))
	out.WriteString("<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n" +
		"<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(hash[:]) + "'; base-uri 'none'; form-action 'none'\">\n" +
		"<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>" + title + ", harness record</title>\n<style>" + recordStyle + "</style>\n</head>\n<body>\n" +
		"<p>Harness record</p>\n<h1>" + title + "</h1>\n<dl>\n")
	for _, f := range facts(b, o) {
		out.WriteString("<dt>" + text(f[0]) + "</dt><dd>" + text(f[1]) + "</dd>\n")
	}
	out.WriteString("</dl>\n")
	for _, s := range recordWords {
		out.WriteString("<p>" + text(s) + "</p>\n")
	}
	var body bytes.Buffer
	out.WriteString("<nav>\n")
	for i, kind := range recordKinds {
		told.page(i+1, len(recordKinds))
		name, err := htmlPart(&body, kind, b, o, text)
		if err != nil {
			return err
		}
		out.WriteString("<a href=\"#" + kind + "\">" + text(name) + "</a>\n")
	}
	out.WriteString("</nav>\n")
	out.Write(body.Bytes())
	out.WriteString("</body>\n</html>\n")
	_, err := w.Write(out.Bytes())
	return err
}

// htmlPart writes a list as a table, or a drawing in place, and returns its title.
func htmlPart(out *bytes.Buffer, kind string, b *harness.Build, o sheet.Options, text func(string) string) (title string, err error) {
	head := func() { out.WriteString("<h2 id=\"" + kind + "\">" + text(title) + "</h2>\n") }
	for _, k := range sheet.Kinds() {
		if k.Name == kind {
			title = k.Title
		}
	}
	if drawn(kind) {
		head()
		return title, WriteAs(out, kind, sheet.SVG, b, o, nil)
	}
	t, err := recordTable(kind, b, o)
	if err != nil {
		return "", err
	}
	t = t.Filled()
	title = t.Title
	head()
	out.WriteString("<div class=\"wide\"><table>\n<tr>")
	for _, c := range t.Columns {
		out.WriteString("<th scope=\"col\">" + text(c.Heading()) + "</th>")
	}
	out.WriteString("</tr>\n")
	row := func(cells []sheet.Cell, class string) {
		out.WriteString("<tr" + class + ">")
		for i, c := range cells {
			number := ""
			if t.Columns[i].Number {
				number = " class=\"n\""
			}
			s := c.Text
			if t.Columns[i].Tick {
				s = "□"
				if c.Text != "" {
					s = "☑"
				}
			}
			out.WriteString("<td" + number + ">" + text(s) + "</td>")
		}
		out.WriteString("</tr>\n")
	}
	for _, g := range t.Groups {
		if g.Title != "" {
			out.WriteString("<tr class=\"g\"><th colspan=\"" + strconv.Itoa(len(t.Columns)) + "\">" + text(g.Title) + "</th></tr>\n")
		}
		for _, cells := range g.Rows {
			row(cells, "")
		}
		if g.Total != nil {
			row(g.Total, " class=\"s\"")
		}
	}
	out.WriteString("</table></div>\n")
	for _, n := range t.Notes {
		out.WriteString("<p>" + text(n) + "</p>\n")
	}
	return title, nil
}
