package sheet

import (
	"fmt"
	"html"
	"io"
	"strconv"
	"strings"
)

// drawing is an SVG in millimetres, black on white. A person's text is escaped; nothing in it is run or fetched.
type drawing struct{ strings.Builder }

func newDrawing(width, height float64, title string) *drawing {
	d := &drawing{}
	fmt.Fprintf(d, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" font-family="'DejaVu Sans Condensed','DejaVu Sans',sans-serif">`,
		short(width), short(height), short(width), short(height))
	fmt.Fprintf(d, "\n<title>%s</title>\n<rect width=\"100%%\" height=\"100%%\" fill=\"#fff\"/>\n", escaped(title))
	return d
}

// short writes a number with at most five decimals, the last zeros left out.
func short(v float64) string {
	s := strconv.FormatFloat(v, 'f', 5, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

func escaped(text string) string { return html.EscapeString(Printable(text)) }

// text writes one line; anchor is start, middle or end.
func (d *drawing) text(x, y float64, text string, size float64, bold bool, anchor string) {
	if text == "" {
		return
	}
	weight := ""
	if bold {
		weight = ` font-weight="bold"`
	}
	if anchor != "start" {
		weight += ` text-anchor="` + anchor + `"`
	}
	fmt.Fprintf(d, "<text x=\"%s\" y=\"%s\" font-size=\"%s\"%s>%s</text>\n", short(x), short(y), short(size), weight, escaped(text))
}

func (d *drawing) line(x1, y1, x2, y2, width float64) {
	d.stroke("M"+short(x1)+" "+short(y1)+"L"+short(x2)+" "+short(y2), width, "")
}

// fill draws a path in its own unit, which is so many millimetres, from a corner on the page.
func (d *drawing) fill(path string, x, y, unit float64) {
	fmt.Fprintf(d, "<path transform=\"translate(%s %s) scale(%s)\" d=\"%s\"/>\n", short(x), short(y), strconv.FormatFloat(unit, 'f', 7, 64), path)
}

func (d *drawing) flush(w io.Writer) error {
	d.WriteString("</svg>\n")
	_, err := io.WriteString(w, d.String())
	return err
}

// stroke draws a line in millimetres.
func (d *drawing) stroke(path string, width float64, dash string) {
	if dash != "" {
		dash = ` stroke-dasharray="` + dash + `"`
	}
	fmt.Fprintf(d, "<path d=\"%s\" fill=\"none\" stroke=\"#000\" stroke-width=\"%s\"%s/>\n", path, short(width), dash)
}

// mark draws a place: a square for a controller, else a circle, full or empty.
func (d *drawing) mark(x, y, r float64, square, full bool) {
	fill := "#fff"
	if full {
		fill = "#000"
	}
	if square {
		fmt.Fprintf(d, "<rect x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" fill=\"%s\" stroke=\"#000\" stroke-width=\"0.4\"/>\n", short(x-r), short(y-r), short(2*r), short(2*r), fill)
		return
	}
	fmt.Fprintf(d, "<circle cx=\"%s\" cy=\"%s\" r=\"%s\" fill=\"%s\" stroke=\"#000\" stroke-width=\"0.4\"/>\n", short(x), short(y), short(r), fill)
}
